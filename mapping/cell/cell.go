// Package cell reads a cell folder: cell.yaml, the robot it names, and what it
// says of the scans. It converts millimetres and degrees of the files to
// millimetres and radians; nothing behind it sees a degree.
package cell

import (
	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Cell is the content of a cell folder, read and checked.
type Cell struct {
	Dir        string
	Name       string
	Robot      *arm.Arm // nil where every motion is a pose stream and no robot is named
	Scanner    Scanner
	Scans      []Scan
	Wanted     []Wanted
	Scene      Scene
	Targets    []Target
	Ignore     []Ignore
	Restricted []Restricted // joints' ranges where they are narrower than the robot's own
	Parts      []arm.Part   // what the tool may carry
	Files      []string     // every file that was read or is named, relative to Dir, for the record
	Remarks    []string     // what the user should know though nothing is wrong, a line each
}

// Scanner is the sensor on the flange.
type Scanner struct {
	FlangeFromScanner geom.Pose
	Eye               r3.Vec     // where the rays start, scanner frame, mm
	Latency           float64    // a stamp is this much later than the instant, s
	Range             [2]float64 // least and greatest distance from the eye, mm; 0 and infinity where cell.yaml says none
	Noise             float64    // one sigma along the ray at 1 m, mm; 0: to be estimated
	Fan               float64    // full angle of the laser line, rad; 0: to be taken from the scans
	MountShift        float64    // what FlangeFromScanner may be off by, one sigma along each axis, mm
	MountTurn         float64    // and about each axis, rad
	NothingInRange    bool       // where no return comes back there is nothing within Range, cell.yaml says
}

// Scan is one file of points with its motion, or with one fixed pose.
type Scan struct {
	Name           string
	Points, Motion string     // paths relative to the cell folder; Motion is "" for a still scan
	Unit           float64    // mm per unit of the file
	BaseFromScan   *geom.Pose // still scans only
	Origin         r3.Vec     // still scans: where the rays start, scan frame, mm
	Rough          *Rough     // still scans: by how much BaseFromScan may be off; nil where it is right
	Line           int        // of cell.yaml, for messages
}

// Rough is by how much a still scan's pose may be off.
type Rough struct {
	Shift float64 // of the place where the rays start, mm
	Turn  float64 // about any axis, rad
}

// Moving tells whether the robot moved the scanner while the scan was taken.
func (s *Scan) Moving() bool { return s.Motion != "" }

// Pose is baseFromScan of a still scan, and the identity for one that moves.
func (s *Scan) Pose() geom.Pose {
	if s.BaseFromScan == nil {
		return geom.Identity()
	}
	return *s.BaseFromScan
}

// Wanted is an object that the user expects.
type Wanted struct {
	Name, Kind, Inside string
	Near               *r3.Vec // a hint, base frame, mm
	JawWidth           float64 // vise: mm, 0 where not given
	JawHeight          float64
	JawDepth           float64
	FixedJaw           string          // near, far, left, right or ""
	Model              []geom.Triangle // shape: closed, facets outward, in the STL's own frame
	Line               int
}

// Scene is how the collision scene is built, mm.
type Scene struct {
	Margin, Behind, UnseenVoxel float64
	LeastObstacle               float64 // that no space which is called clear may hide
}

// Target is a shape that the mount may be solved from.
type Target struct {
	Name, Shape string
	Radius      float64
	Scans       []string
}

// Ignore is a box whose points are dropped.
type Ignore struct {
	Name string
	Box  geom.Box // in base; xyz_mm is its centre
}

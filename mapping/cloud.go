// Package mapping turns a cell folder into one cloud in the base frame: scans
// are read in pieces, placed by the arm's motion, filtered, and merged into
// voxels that keep the moments of all the points that fell into them.
package mapping

import (
	"cellwall/mapping/geom"
	"cellwall/mapping/sight"

	"gonum.org/v1/gonum/spatial/r3"
)

// Cloud is all that the scans measured.
type Cloud struct {
	Scans   []string // names, in the order of cell.yaml
	Voxels  []Voxel  // ordered by scan, edge and place: the same on every run
	Samples []Sample // raw points of the voxels measured from near, see Voxel.First
	Noise   Noise
	// PoseSigma is the declared absolute accuracy of the arm, one sigma, mm: what
	// a sweep may be off as a whole. 0 where nothing was declared.
	PoseSigma float64
	Mount     []Rigid     // as Scans: what the mount may be off by, one sigma; zero of a still scan
	Moving    int         // how many of the scans the robot moved
	Aligned   *Aligned    // nil where the scans are as the arm put them
	Sight     *sight.Grid // where rays and the arm passed; nil where no robot is named
	Counts    Counts
	PerScan   []Counts // as Scans
	Placed    []Placed // the scans whose pose was rough
	Warnings  []string // what a person should look into
}

// Voxel is a cube of space as one scan saw it. A place seen by three scans has
// three voxels.
type Voxel struct {
	geom.Moments             // of the points, base frame, mm
	Scan         int32       // index into Cloud.Scans
	Edge         float32     // edge length of the cube, mm: finer for points measured from nearer
	Toward       r3.Vec      // mean direction from the points to the scanner's eye, unit
	Range        float64     // mean distance from the eye, mm
	Bounds       geom.Bounds // of the points, base frame, mm
	First, Kept  int32       // its samples, an unbiased choice, are Cloud.Samples[First : First+Kept]
}

// Eye is where the scanner's eye was, on average, when it saw the voxel.
func (v *Voxel) Eye() r3.Vec { return r3.Add(v.Mean, r3.Scale(v.Range, v.Toward)) }

// Sample is a raw point, base frame, mm. Single precision holds 0.001 mm within
// 10 m.
type Sample [3]float32

// Counts says what became of the points.
type Counts struct {
	Read, Used int64
	Dropped    [numReasons]int64
}

// add takes in the counts of another part.
func (c *Counts) add(o *Counts) {
	c.Read += o.Read
	c.Used += o.Used
	for i := range c.Dropped {
		c.Dropped[i] += o.Dropped[i]
	}
}

// Reason is why a point was dropped.
type Reason int

// The reasons, in the order in which they are tested.
const (
	NoReturn Reason = iota
	NoMotion
	OutOfRange
	Ignored
	RobotItself
	EdgePoint
	Sparse
	numReasons
)

// Reasons are all of them, in order.
func Reasons() []Reason {
	all := make([]Reason, numReasons)
	for i := range all {
		all[i] = Reason(i)
	}
	return all
}

// String is the reason as scene.json spells it.
func (r Reason) String() string {
	return [numReasons]string{"no-return", "no-motion", "out-of-range", "ignored", "robot-itself", "edge", "sparse"}[r]
}

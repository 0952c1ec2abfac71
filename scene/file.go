package scene

import (
	"encoding/json"
	"fmt"
	"math"
)

// Format is what scene.json says it is.
const Format = "cellwall.scene/1"

// The types below spell out scene.json; scene/schema/scene.schema.json says what
// each member means. Lengths are mm, angles degrees, except in covariances,
// which are in mm and rad as the module keeps them.
type fileScene struct {
	Format     string          `json:"format"`
	Cell       string          `json:"cell"`
	Frame      string          `json:"frame"`
	Units      fileUnits       `json:"units"`
	Scans      []string        `json:"scans"`
	Objects    []fileObject    `json:"objects"`
	NotLocated []fileRefusal   `json:"not_located"`
	Points     filePoints      `json:"points"`
	Agreement  []fileAgreement `json:"agreement"`
	Space      *fileSpace      `json:"space,omitempty"`
}

type fileUnits struct {
	Length string `json:"length"`
	Angle  string `json:"angle"`
}

type fileObject struct {
	Name     string                 `json:"name"`
	Kind     string                 `json:"kind"`
	Located  bool                   `json:"located"`
	Inside   string                 `json:"inside,omitempty"`
	Pose     *filePose              `json:"pose,omitempty"`
	Measures map[string]fileMeasure `json:"measures"`
	Opening  *fileOpening           `json:"opening,omitempty"`
	AtLeast  *fileOpening           `json:"opening_at_least,omitempty"`
	NotSeen  []string               `json:"not_seen,omitempty"`
	Surfaces []fileSurface          `json:"surfaces"`
	Solids   []fileSolid            `json:"solids"`
	Margin   float64                `json:"margin_mm"`
	Taken    *float64               `json:"clear_taken_m3,omitempty"`
	Claims   []string               `json:"claims,omitempty"`
	Origin   string                 `json:"from_map,omitempty"`
}

type filePose struct {
	XYZ        triple        `json:"xyz_mm"`
	Quaternion numbers       `json:"quaternion_wxyz"`
	Covariance []numbers     `json:"covariance"`
	Sigma      filePoseSigma `json:"sigma"`
}

type filePoseSigma struct {
	XYZ      triple `json:"xyz_mm"`
	Rotation triple `json:"rotation_deg"`
}

type fileMeasure struct {
	Value float64 `json:"value"`
	Sigma float64 `json:"sigma"`
}

type fileOpening struct {
	Y      numbers `json:"y_mm"`
	Z      numbers `json:"z_mm"`
	SigmaY numbers `json:"sigma_y_mm,omitempty"`
	SigmaZ numbers `json:"sigma_z_mm,omitempty"`
}

type fileSurface struct {
	Name       string           `json:"name"`
	Shape      string           `json:"shape"`
	Normal     triple           `json:"normal"`
	Offset     float64          `json:"offset_mm"`
	Centre     triple           `json:"centre_mm"`
	Cylinder   *fileCylinder    `json:"cylinder,omitempty"`
	Outline    []triple         `json:"outline_mm"`
	Holes      [][]triple       `json:"holes_mm,omitempty"`
	Area       float64          `json:"area_mm2"`
	Points     int              `json:"points"`
	Scans      []string         `json:"scans"`
	RMS        float64          `json:"rms_mm"`
	Sigma      fileSurfaceSigma `json:"sigma"`
	Covariance []numbers        `json:"covariance"`
	Budget     *fileBudget      `json:"budget,omitempty"`
}

// fileBudget splits a covariance; left out where a face was not fitted alone.
type fileBudget struct {
	Noise []numbers `json:"noise"`
	Sweep []numbers `json:"sweep"`
	Arm   []numbers `json:"arm"`
	Mount []numbers `json:"mount,omitempty"` // maps written before it was stated have none
}

type fileSurfaceSigma struct {
	Offset float64 `json:"offset_mm"`
	Tilt   float64 `json:"tilt_deg"`
}

type fileCylinder struct {
	Point       triple  `json:"point_mm"`
	Axis        triple  `json:"axis"`
	Radius      float64 `json:"radius_mm"`
	SigmaRadius float64 `json:"sigma_radius_mm"`
	Length      float64 `json:"length_mm"`
}

// fileSolid holds the members of all shapes; those of other shapes stay out.
type fileSolid struct {
	Shape      string   `json:"shape"`
	Centre     *triple  `json:"centre_mm,omitempty"`
	Size       *triple  `json:"size_mm,omitempty"`
	Quaternion numbers  `json:"quaternion_wxyz,omitempty"`
	Axis       *triple  `json:"axis,omitempty"`
	Radius     float64  `json:"radius_mm,omitempty"`
	Outline    []triple `json:"outline_mm,omitempty"`
	Direction  *triple  `json:"direction,omitempty"`
	Height     float64  `json:"height_mm,omitempty"`
	Vertices   []triple `json:"vertices_mm,omitempty"`
}

type fileRefusal struct {
	Name       string  `json:"name"`
	Kind       string  `json:"kind"`
	Reason     string  `json:"reason"`
	ScanNext   string  `json:"scan_next"`
	Near       *triple `json:"near_mm,omitempty"`
	Candidates int     `json:"candidates,omitempty"`
}

type filePoints struct {
	Read    int64            `json:"read"`
	Used    int64            `json:"used"`
	Dropped map[string]int64 `json:"dropped"`
}

type fileAgreement struct {
	Scan     string  `json:"scan"`
	Aligned  bool    `json:"aligned"`
	Shift    *triple `json:"shift_mm"`
	Rotation *triple `json:"rotation_deg"`
	Middle   triple  `json:"middle_mm"`
	Surfaces int     `json:"surfaces"`
	Before   float64 `json:"rms_before_mm"`
	After    float64 `json:"rms_after_mm"`
}

type fileSpace struct {
	Voxel         float64 `json:"voxel_mm"`
	Clear         float64 `json:"clear_m3"`
	Solid         float64 `json:"solid_m3"`
	Unseen        float64 `json:"unseen_m3"`
	UnseenInReach float64 `json:"unseen_in_reach_m3"`

	LeastObstacle float64  `json:"least_obstacle_mm,omitempty"` // maps written before it was stated have none
	ByNoReturn    *float64 `json:"clear_by_no_return_m3,omitempty"`
}

// farthest is how far a point may lie from the base, mm: a hundred kilometres.
const farthest = 1e8

// UnmarshalJSON takes exactly three numbers: the plain decoder would pad a
// shorter list with zeros and cut a longer one.
func (t *triple) UnmarshalJSON(b []byte) error {
	var v numbers
	if err := json.Unmarshal(b, &v); err != nil {
		return err
	}
	if len(v) != 3 {
		return fmt.Errorf("a point or vector has %d numbers, not 3", len(v))
	}
	for _, x := range v {
		if math.Abs(x) > farthest {
			return fmt.Errorf("a point lies %g mm away, which is in no cell", x)
		}
	}
	*t = triple(v)
	return nil
}

// numbers is a list whose length the reader checks.
type numbers []float64

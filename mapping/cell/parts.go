package cell

import (
	"fmt"

	"cellwall/mapping/arm"
	"cellwall/mapping/cell/strict"
	"cellwall/mapping/geom"
)

// partFile is a part that the tool may carry, in the tool point's frame, or the
// flange's where the robot has no tool.
type partFile struct {
	Name     string            `yaml:"name,required"`
	Capsules []heldCapsuleFile `yaml:"capsules"`
	Boxes    []heldBoxFile     `yaml:"boxes"`
}

type heldCapsuleFile struct {
	From   [3]float64 `yaml:"from_mm,required"`
	To     [3]float64 `yaml:"to_mm,required"`
	Radius float64    `yaml:"radius_mm,required"`
}

type heldBoxFile struct {
	XYZ  [3]float64 `yaml:"xyz_mm,required"` // of the box's centre
	Size [3]float64 `yaml:"size_mm,required"`
	RPY  [3]float64 `yaml:"rpy_deg"`
}

// Nothing is how a program says that the tool carries no part any more, so no
// part may be named so.
const Nothing = "nothing"

// parts takes what the tool may carry.
func (r *reader) parts() error {
	used := names{}
	for i, f := range r.file.Parts {
		at := fmt.Sprintf("parts[%d]", i)
		switch {
		case r.cell.Robot == nil:
			return r.doc.Fault(at, "the cell names no robot that could carry it", "add robot: FILE, or take the key away")
		case f.Name == Nothing:
			return r.doc.Fault(at+".name", "a program says "+Nothing+" where no part is carried", "name the part otherwise")
		case len(f.Capsules)+len(f.Boxes) == 0:
			return r.doc.Fault(at, "the part has neither capsules nor boxes", "describe its volume in the tool point's frame")
		}
		if err := used.take(r.doc, at+".name", f.Name); err != nil {
			return err
		}
		flangeFromPoint := geom.Identity()
		if tool := r.cell.Robot.Tool; tool != nil {
			flangeFromPoint = tool.FlangeFromPoint
		}
		v, err := held(r.doc, at, f.Capsules, f.Boxes, flangeFromPoint, len(r.cell.Robot.Joints))
		if err != nil {
			return err
		}
		r.cell.Parts = append(r.cell.Parts, arm.Part{Name: f.Name, Volume: v})
	}
	return nil
}

// held checks capsules and boxes of a frame on the flange, and puts them into
// the flange's own.
func held(doc *strict.Doc, at string, capsules []heldCapsuleFile, boxes []heldBoxFile, flangeFromFrame geom.Pose, flange int) (v arm.Volume, err error) {
	for i, c := range capsules {
		if c.Radius <= 0 {
			return v, doc.Fault(fmt.Sprintf("%s.capsules[%d].radius_mm", at, i), "the radius must be above 0", "write the capsule's radius")
		}
		v.Capsules = append(v.Capsules, arm.Capsule{Frame: flange, From: flangeFromFrame.Apply(vec(c.From)), To: flangeFromFrame.Apply(vec(c.To)), Radius: c.Radius})
	}
	for i, b := range boxes {
		if min(b.Size[0], b.Size[1], b.Size[2]) <= 0 {
			return v, doc.Fault(fmt.Sprintf("%s.boxes[%d].size_mm", at, i), "every size must be above 0", "write the box's full edges along its own x, y and z")
		}
		v.Boxes = append(v.Boxes, geom.Box{Pose: flangeFromFrame.Mul(pose(b.XYZ, b.RPY)), Size: vec(b.Size)})
	}
	return v, nil
}

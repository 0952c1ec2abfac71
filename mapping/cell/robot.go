package cell

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"cellwall/mapping/arm"
	"cellwall/mapping/cell/strict"
	"cellwall/mapping/cell/urdf"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
)

// robot reads the file that describes the arm, where one is named.
func (r *reader) robot() error {
	named, flange := r.doc.Line("robot") > 0, r.doc.Line("flange") > 0
	isURDF := strings.EqualFold(filepath.Ext(r.file.Robot), ".urdf")
	switch {
	case !named && flange:
		return r.doc.Fault("flange", "the cell names no robot", "add robot: FILE.urdf, or take the key away")
	case !named:
		return nil
	case isURDF && !flange:
		return r.doc.Fault("robot", "of a URDF robot it must be said which link is the flange", "add flange: LINK")
	case !isURDF && flange:
		return r.doc.Fault("flange", "only a URDF robot needs a flange named", "take the key away: the last joint's frame is the flange")
	}
	if err := r.exists("robot", r.file.Robot); err != nil {
		return err
	}
	if isURDF {
		return r.urdf()
	}
	doc, err := r.parse(r.file.Robot)
	if err != nil {
		return err
	}
	var f robotFile
	if err := doc.Into(&f); err != nil {
		return err
	}
	if r.cell.Robot, err = armOf(doc, &f); err != nil {
		return err
	}
	if len(f.Capsules) == 0 {
		r.tell("%s: no capsules are given: no point will be dropped as the arm's own", r.file.Robot)
	}
	return nil
}

// urdf reads a URDF robot.
func (r *reader) urdf() error {
	path := r.cell.Path(r.file.Robot)
	text, err := os.ReadFile(path)
	if err != nil {
		return fault.OfOpening(path, err)
	}
	a, unplaced, err := urdf.Read(path, text, r.file.Flange)
	if err != nil {
		return err
	}
	r.cell.Robot = a
	if len(unplaced) > 0 {
		r.tell("%s: the links %s hang on joints beside the arm's chain: they are not part of its volume", r.file.Robot, strings.Join(unplaced, ", "))
	}
	if len(a.Capsules) == 0 {
		r.tell("%s: no link has a collision shape: no point will be dropped as the arm's own", r.file.Robot)
	}
	return nil
}

// armOf checks the robot's file and turns it into an arm, in mm, rad and
// counting from 0.
func armOf(doc *strict.Doc, f *robotFile) (*arm.Arm, error) {
	a := &arm.Arm{Name: f.Name}
	if f.Format != robotFormat {
		return nil, doc.Fault("format", fmt.Sprintf("the format %q is not known", f.Format), "write "+robotFormat)
	}
	switch f.Convention {
	case "dh-standard":
		a.Convention = arm.Standard
	case "dh-modified":
		a.Convention = arm.Modified
	default:
		return nil, doc.Fault("convention", fmt.Sprintf("the convention %q is not known", f.Convention), "write dh-standard or dh-modified")
	}
	if f.Accuracy != nil {
		if a.PoseSigma = f.Accuracy.Pose; a.PoseSigma < 0 {
			return nil, doc.Fault("accuracy.pose_mm", "the accuracy is negative", "write one sigma, or take the key away")
		}
	}
	if err := checkName(doc, "name", f.Name); err != nil {
		return nil, err
	}
	for _, step := range []func(*strict.Doc, *robotFile, *arm.Arm) error{joints, couplings, capsules, tool} {
		if err := step(doc, f, a); err != nil {
			return nil, err
		}
	}
	return a, nil
}

func joints(doc *strict.Doc, f *robotFile, a *arm.Arm) error {
	if len(f.Joints) == 0 {
		return doc.Fault("joints", "the list is empty", "describe every joint, from the base on")
	}
	for i, j := range f.Joints {
		at := fmt.Sprintf("joints[%d]", i)
		switch {
		case j.Min >= j.Max:
			return doc.Fault(at+".max_deg", fmt.Sprintf("the limits %g to %g deg are not a range", j.Min, j.Max), "write min_deg below max_deg")
		case j.MaxSpeed != nil && *j.MaxSpeed <= 0:
			return doc.Fault(at+".max_speed_deg_s", "the speed must be above 0", "write it, or take the key away")
		}
		a.Joints = append(a.Joints, arm.Joint{A: j.A, Alpha: j.Alpha * degree, D: j.D, Theta: j.Theta * degree,
			Min: j.Min * degree, Max: j.Max * degree, MaxSpeed: orElse(j.MaxSpeed, 0) * degree})
	}
	return nil
}

func couplings(doc *strict.Doc, f *robotFile, a *arm.Arm) error {
	known := func(joint int) bool { return joint >= 1 && joint <= len(f.Joints) }
	remedy := fmt.Sprintf("write a joint from 1 to %d", len(f.Joints))
	seen := map[[2]int]bool{}
	for i, c := range f.Couplings {
		at := fmt.Sprintf("couplings[%d]", i)
		switch pair := [2]int{c.Joint, c.Follows}; {
		case !known(c.Joint):
			return doc.Fault(at+".joint", fmt.Sprintf("there is no joint %d", c.Joint), remedy)
		case !known(c.Follows):
			return doc.Fault(at+".follows", fmt.Sprintf("there is no joint %d", c.Follows), remedy)
		case c.Joint == c.Follows:
			return doc.Fault(at+".follows", fmt.Sprintf("joint %d cannot follow itself", c.Joint), "name the other joint")
		case seen[pair]:
			return doc.Fault(at, fmt.Sprintf("joint %d follows joint %d twice", c.Joint, c.Follows), "keep one of the two")
		default:
			seen[pair] = true
		}
		a.Couplings = append(a.Couplings, arm.Coupling{Joint: c.Joint - 1, Follows: c.Follows - 1, Factor: c.Factor})
	}
	return nil
}

func capsules(doc *strict.Doc, f *robotFile, a *arm.Arm) error {
	for i, c := range f.Capsules {
		at := fmt.Sprintf("capsules[%d]", i)
		switch {
		case c.Frame < 0 || c.Frame > len(f.Joints):
			return doc.Fault(at+".frame", fmt.Sprintf("there is no frame %d", c.Frame), fmt.Sprintf("write 0 for the base up to %d for the flange", len(f.Joints)))
		case c.Radius <= 0:
			return doc.Fault(at+".radius_mm", "the radius must be above 0", "write the capsule's radius")
		}
		a.Capsules = append(a.Capsules, arm.Capsule{Frame: c.Frame, From: vec(c.From), To: vec(c.To), Radius: c.Radius})
	}
	return nil
}

// tool is what the flange holds at work; its point is the flange's origin where
// none is given.
func tool(doc *strict.Doc, f *robotFile, a *arm.Arm) error {
	if f.Tool == nil {
		return nil
	}
	a.Tool = &arm.Tool{FlangeFromPoint: geom.Identity()}
	if p := f.Tool.Point; p != nil {
		a.Tool.FlangeFromPoint = pose(p.XYZ, p.RPY)
	}
	var err error
	a.Tool.Volume, err = held(doc, "tool", f.Tool.Capsules, f.Tool.Boxes, geom.Identity(), len(f.Joints))
	return err
}

package urdf

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/arm"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
)

// Read makes an arm of the URDF text: its joints are the revolute joints on the
// way from the root link, whose frame is the base, to the link called flange,
// whose frame is the flange. Its capsules hold the collision shapes of every
// link that is rigid with one of the frames. unplaced lists the links with
// shapes that hang on a joint beside the chain, such as a gripper's fingers:
// where they are is not known, so they are left out. name is the file's, for
// messages; every error is a *fault.Error.
func Read(name string, text []byte, flange string) (a *arm.Arm, unplaced []string, err error) {
	r := &reader{name: name}
	if err := r.parse(text); err != nil {
		return nil, nil, err
	}
	if err := r.connect(); err != nil {
		return nil, nil, err
	}
	chain, err := r.chain(flange)
	if err != nil {
		return nil, nil, err
	}
	r.arm = &arm.Arm{Name: r.file.Name, Convention: arm.Free}
	if err := r.kinematics(chain); err != nil {
		return nil, nil, err
	}
	unplaced, err = r.volume()
	return r.arm, unplaced, err
}

type reader struct {
	name   string
	file   file
	links  map[string]*link
	above  map[string]*joint // by the name of the child link
	arm    *arm.Arm
	frames map[*joint]int // of the chain's moving joints, from 1
}

// parse reads the XML.
func (r *reader) parse(text []byte) error {
	d := xml.NewDecoder(bytes.NewReader(text))
	err := d.Decode(&r.file)
	var bad *xml.SyntaxError
	switch {
	case errors.As(err, &bad):
		return r.fault(line(bad.Line), "", bad.Msg, "mend the XML")
	case err == io.EOF:
		return r.fault(0, "", "it holds no element robot", "name a URDF file")
	case err != nil:
		var f *fault.Error
		if errors.As(err, &f) {
			return f
		}
		return r.fault(lineOf(d), "", err.Error(), "name a URDF file")
	case r.file.Name == "":
		return r.fault(0, "robot", "the robot has no name", "add the attribute name")
	}
	return nil
}

// connect finds links and joints by their names. Every link hangs on one joint
// at most.
func (r *reader) connect() error {
	r.links, r.above, r.frames = map[string]*link{}, map[string]*joint{}, map[*joint]int{}
	for i := range r.file.Links {
		l := &r.file.Links[i]
		if r.links[l.Name] != nil {
			return r.fault(l.at, "link "+l.Name, "another link has this name", "give each a name of its own")
		}
		r.links[l.Name] = l
	}
	for i := range r.file.Joints {
		j := &r.file.Joints[i]
		for _, name := range []string{j.Parent.Link, j.Child.Link} {
			if r.links[name] == nil {
				return r.fault(j.at, "joint "+j.Name, fmt.Sprintf("there is no link %q", name), "name links of this file as parent and child")
			}
		}
		if r.above[j.Child.Link] != nil {
			return r.fault(j.at, "joint "+j.Name, fmt.Sprintf("the link %q has two parents", j.Child.Link), "let every link be the child of one joint")
		}
		r.above[j.Child.Link] = j
	}
	return nil
}

// chain is the joints from the root to the flange.
func (r *reader) chain(flange string) ([]*joint, error) {
	if r.links[flange] == nil {
		return nil, r.fault(0, "", fmt.Sprintf("there is no link %q", flange), "name one of its links as flange in cell.yaml")
	}
	var chain []*joint
	for at := r.above[flange]; at != nil; at = r.above[at.Parent.Link] {
		if len(chain) > len(r.file.Joints) {
			return nil, r.fault(at.at, "joint "+at.Name, "the joints form a ring", "let them form a tree")
		}
		chain = append([]*joint{at}, chain...)
	}
	return chain, nil
}

// kinematics turns the chain into the arm's joints; fixed joints become part of
// the pose before the next moving joint, or after the last.
func (r *reader) kinematics(chain []*joint) error {
	at := geom.Identity()
	for _, j := range chain {
		here, err := r.pose(j.Origin, j.at, "joint "+j.Name)
		if err != nil {
			return err
		}
		at = at.Mul(here)
		if !j.moves() {
			continue
		}
		row, err := r.row(j)
		if err != nil {
			return err
		}
		row.Before, row.After = at, geom.Identity()
		r.arm.Joints = append(r.arm.Joints, row)
		r.frames[j] = len(r.arm.Joints)
		at = geom.Identity()
	}
	n := len(r.arm.Joints)
	if n == 0 {
		return r.fault(0, "", "no joint moves between the root link and the flange", "name the link at the end of the arm as flange in cell.yaml")
	}
	r.arm.Joints[n-1].After = at
	return nil
}

// row takes a moving joint's axis and limits.
func (r *reader) row(j *joint) (row arm.Joint, err error) {
	where := "joint " + j.Name
	switch {
	case j.Type != "revolute":
		return row, r.fault(j.at, where, fmt.Sprintf("a joint of type %q cannot be part of the arm", j.Type), "use revolute joints with limits, and fixed ones")
	case j.Mimic != nil:
		return row, r.fault(j.at, where, "a joint that mimics another cannot be part of the arm", "describe the arm in a robot.yaml with couplings")
	case j.Limit == nil:
		return row, r.fault(j.at, where, "the joint has no limits", "add the element limit with lower and upper, in rad")
	}
	row.Axis = r3.Vec{X: 1} // URDF's default
	if j.Axis != nil {
		v, err := r.numbers(j.Axis.XYZ, 3, j.at, where+".axis")
		if err != nil {
			return row, err
		}
		row.Axis = r3.Unit(r3.Vec{X: v[0], Y: v[1], Z: v[2]})
		if !(r3.Norm(row.Axis) > 0) {
			return row, r.fault(j.at, where+".axis", "the axis has no direction", "write a direction such as 0 0 1")
		}
	}
	var limits [3]float64
	for i, text := range []string{j.Limit.Lower, j.Limit.Upper, j.Limit.Velocity} {
		v, err := r.numbers(text, 1, j.at, where+".limit")
		if err != nil {
			return row, err
		}
		limits[i] = v[0]
	}
	row.Min, row.Max, row.MaxSpeed = limits[0], limits[1], max(limits[2], 0)
	if row.Min >= row.Max {
		return row, r.fault(j.at, where+".limit", fmt.Sprintf("%g to %g rad is not a range", row.Min, row.Max), "write lower below upper")
	}
	return row, nil
}

package moves

import (
	"fmt"
	"math"

	"cellwall/mapping/geom"
	"cellwall/scene/table"

	"gonum.org/v1/gonum/spatial/r3"
)

// Taught is a point that was taught to the robot against an object.
type Taught struct {
	Name, Object string
	Pose         geom.Pose // baseFromTool
	InRPY        bool      // its file has angles, not a quaternion
	Line         int
}

// Carried is a taught point after its object moved.
type Carried struct {
	Taught
	Pose     geom.Pose // baseFromTool, corrected; as taught where Why says why not
	Cov      geom.Cov6 // of the correction, at the point
	Moved    bool      // its object moved; else the point stays as it was taught
	Shift    float64   // how far the point has gone, mm
	Turn     float64   // how far it is turned, rad
	Flags    []string  // why to drive there by hand first, none where nothing calls for it
	Why      string    // why it could not be corrected, "" where it could
	ScanNext string    // what to scan so that it can
}

// Check tells whether the place is to be driven to by hand first.
func (c *Carried) Check() bool { return c.Why != "" || len(c.Flags) > 0 }

// Limits say from what on a carried point is flagged, mm.
type Limits struct {
	Shift float64 // of how far it was corrected
	Known float64 // of its expanded uncertainty
}

// Carry takes taught points along with the objects that they were taught against.
// Those of an object that is not told apart from still stay as they were taught,
// and take the uncertainty of that; those of one that cannot be told, or whose
// move leaves open where they have gone, are not corrected and say why; nor is any
// where the room says that the mount changed.
func (c *Comparison) Carry(points []Taught, limits Limits) []Carried {
	out := make([]Carried, len(points))
	for i, p := range points {
		out[i] = c.carry(p, limits)
	}
	return out
}

func (c *Comparison) carry(p Taught, limits Limits) Carried {
	out := Carried{Taught: p, Pose: p.Pose}
	if c.Foot() == Mount {
		out.Why, out.ScanNext = "the scanner's mount, the scanner or a joint's zero has changed since the old map, so no move can be believed", "nothing: solve the mount and map again"
		return out
	}
	m, ok := c.Move(p.Object)
	if !ok {
		out.Why, out.ScanNext = "nothing is known of its object in the old map", "map "+p.Object
		for _, u := range c.Untold {
			if u.Name == p.Object {
				out.Why, out.ScanNext = u.Reason, u.ScanNext
			}
		}
		return out
	}
	at := m.Pose.Apply(p.Pose.T)
	if len(m.Loose) > 0 {
		out.Why = fmt.Sprintf("no shared surface of %s determines %s", p.Object, m.Says(m.Loose[0]))
		out.ScanNext = fmt.Sprintf("a surface of %s that faces along it", p.Object)
		if would := m.ToScan(m.Loose[0]); len(would) > 0 {
			out.ScanNext = would[0].String()
		}
		return out
	}
	out.Cov, out.Moved = m.At(at), m.Moved
	if m.Moved {
		out.Pose = m.Pose.Mul(p.Pose)
		out.Shift = r3.Norm(r3.Sub(at, p.Pose.T))
		out.Turn = r3.Norm(m.Pose.R.Log())
	}
	out.flag(m, limits)
	return out
}

// flag says what of the limits the correction goes beyond.
func (c *Carried) flag(m *Move, limits Limits) {
	if c.Shift > limits.Shift {
		c.Flags = append(c.Flags, fmt.Sprintf("corrected by more than %g mm", limits.Shift))
	}
	u, _ := c.Expanded()
	if u <= limits.Known {
		return
	}
	word := fmt.Sprintf("known to ± %.2g mm only", u)
	if !c.Moved {
		word = fmt.Sprintf("its object is where it was to ± %.2g mm only", u)
	}
	for _, w := range m.Weak {
		word += fmt.Sprintf(", for only %s %s", w.Teller(), m.Says(w.Direction))
	}
	c.Flags = append(c.Flags, word)
}

// columns of a file of taught points.
var columns = table.Columns{
	Must: []string{"name", "object", "x", "y", "z"},
	May:  []string{"qw", "qx", "qy", "qz", "roll", "pitch", "yaw"},
}

// OpenTaught reads taught points from the CSV file at path: name, object, x, y, z
// (base, mm) and qw, qx, qy, qz or roll, pitch, yaw (degrees, about fixed X, Y,
// Z). Every error is a *fault.Error.
func OpenTaught(path string) ([]Taught, error) {
	rows, err := table.Open(path, columns)
	if err != nil {
		return nil, err
	}
	out := make([]Taught, len(rows))
	for i, r := range rows {
		if out[i], err = taughtOf(r); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func taughtOf(r table.Row) (Taught, error) {
	p := Taught{Name: r.Text("name"), Object: r.Text("object"), Line: r.Line}
	for _, column := range [...]string{"name", "object"} {
		if !r.Has(column) {
			return p, r.Wrong(column, "it is empty", "give each point a name and the object that it was taught against")
		}
	}
	v, err := r.Numbers("x", "y", "z")
	if err != nil {
		return p, err
	}
	p.Pose.T = r3.Vec{X: v[0], Y: v[1], Z: v[2]}
	quaternion, angles := r.Has("qw"), r.Has("roll") || r.Has("pitch") || r.Has("yaw")
	switch {
	case quaternion && !angles:
		q, err := r.Numbers("qw", "qx", "qy", "qz")
		if err != nil {
			return p, err
		}
		if p.Pose.R, err = geom.RotFromQuat(q[0], q[1], q[2], q[3]); err != nil {
			return p, r.Wrong("qw", err.Error(), "write a quaternion of length 1")
		}
	case angles && !quaternion:
		a, err := r.Numbers("roll", "pitch", "yaw")
		if err != nil {
			return p, err
		}
		p.InRPY = true
		p.Pose.R = geom.RotFromRPY(a[0]*degree, a[1]*degree, a[2]*degree)
	default:
		return p, r.Wrong("qw", "the point has no attitude, or two", "give qw, qx, qy, qz or roll, pitch, yaw")
	}
	return p, nil
}

// angles are roll, pitch and yaw in degrees.
func angles(r geom.Rot) [3]float64 {
	roll, pitch, yaw := r.RPY()
	return [3]float64{roll * 180 / math.Pi, pitch * 180 / math.Pi, yaw * 180 / math.Pi}
}

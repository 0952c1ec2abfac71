package moves

import (
	"math"

	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Contact is how far the corners of a machine's footprint rose off the floor, or
// sank into it, since the old map.
type Contact struct {
	Name            string
	Lowest, Highest Height // rise of the corner that rose least, and of the one that rose most
	Sunk, Lifted    bool   // beyond Coverage times the uncertainty
	OfNewFloor      bool   // counted from the room as the new map has it; else from where it was
}

// Height is a height with its standard uncertainty, mm.
type Height struct{ Value, Sigma float64 }

// contact tells the footprint's rise along the floor's normal. Where the room as a
// whole was told, its own move is taken off: what is left is the machine's.
func (b *bench) contact(c *Comparison, o *scene.Object, m *Move) {
	rel := m.Motion
	against := c.Room != nil && len(c.Room.Loose) == 0
	if against {
		rel = c.Room.Inverse().After(m.Motion)
	}
	out := Contact{Name: o.Name, OfNewFloor: against, Lowest: Height{Value: math.Inf(1)}, Highest: Height{Value: math.Inf(-1)}}
	for _, p := range footprint(o) {
		at := rel.Pose.Apply(p)
		if !rel.Holds(at, 0) {
			return // nothing shared holds its height
		}
		h := Height{Value: r3.Dot(b.up, r3.Sub(at, p)), Sigma: along(rel.At(at), b.up)}
		if h.Value < out.Lowest.Value {
			out.Lowest = h
		}
		if h.Value > out.Highest.Value {
			out.Highest = h
		}
	}
	out.Sunk = out.Lowest.Value < -Coverage*out.Lowest.Sigma
	out.Lifted = out.Highest.Value > Coverage*out.Highest.Sigma
	c.Contacts = append(c.Contacts, out)
}

// footprint is the corners of the box about an object's faces, in its datum, on
// the datum's XY plane: on the floor, for a machine.
func footprint(o *scene.Object) [4]r3.Vec {
	b := boxOf(o)
	mid, half := o.Pose.Inverse().Apply(b.Pose.T), r3.Scale(0.5, b.Size)
	lo, hi := r3.Sub(mid, half), r3.Add(mid, half)
	var out [4]r3.Vec
	for i, q := range [4]r3.Vec{{X: lo.X, Y: lo.Y}, {X: hi.X, Y: lo.Y}, {X: hi.X, Y: hi.Y}, {X: lo.X, Y: hi.Y}} {
		out[i] = o.Pose.Apply(q)
	}
	return out
}

// boxOf is the box about an object's faces and its datum's origin, square with the
// datum.
func boxOf(o *scene.Object) geom.Box {
	in := o.Pose.Inverse()
	b := geom.Bounds{}
	for i := range o.Faces {
		for _, p := range o.Faces[i].Outline {
			b.Extend(in.Apply(p))
		}
	}
	return geom.Box{
		Pose: geom.Pose{R: o.Pose.R, T: o.Pose.Apply(r3.Scale(0.5, r3.Add(b.Min, b.Max)))},
		Size: r3.Sub(b.Max, b.Min),
	}
}

// Foot says which of the two moved where the room seems to have: what the arm
// stands on, or what it carries.
type Foot int

// What a room that seems to have moved is put down to.
const (
	Steady Foot = iota // the room is where it was
	Arm                // all of the room moved as one: the arm's foot did, against the room
	Mount              // its faces moved unlike each other: the mount, the scanner or a joint's zero changed
)

// String is the word for programs.
func (f Foot) String() string { return [...]string{"steady", "arm-moved", "mount-changed"}[f] }

// Foot of the comparison.
func (c *Comparison) Foot() Foot {
	switch {
	case c.Room == nil || !c.Room.Moved && len(c.Room.Unlike) == 0:
		return Steady
	case c.Room.Misfit.Beyond(c.Level) || 2*len(c.Room.Unlike) > len(c.Room.Shared):
		return Mount
	case c.Room.Moved:
		return Arm
	}
	return Steady
}

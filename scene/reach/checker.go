// Package reach holds an arm's moves against a collision scene: how near it
// comes, certainly nowhere nearer, by which link and to what.
package reach

import (
	"fmt"
	"slices"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/distance"
	"cellwall/scene/reach/guard"
)

// Checker holds an arm against a scene. It may be used from many goroutines.
type Checker struct {
	arm     *arm.Arm
	point   geom.Pose // flangeFromPoint
	pieces  []piece   // the arm's own first
	own     int       // how many those are
	moving  []int     // pieces that a joint moves
	tree    *distance.Tree
	bodies  []distance.Body
	objects []string // by body
	self    []pair
	parts   []arm.Part
	part    string // carried; empty for none
	been    been
	seen    *seen
	// unseen tells whether a piece grown by so many mm may meet space that nobody
	// has seen; nil where nothing is known of that, and then no move is clear.
	unseen func(x *placed, grow float64) bool
	into   []overlap // with objects, where the arm stood

	// Margin is the clearance under which a move is near, mm.
	Margin float64
	// Profile of the gaps to look for that can crush; nil to look for none.
	Profile *guard.Profile
	// Unchecked names pairs of the arm's own capsules that overlap at every
	// posture, so that the arm cannot be held against itself there.
	Unchecked []string
}

// NewChecker for the arm in the scene. Margin is the greatest that an object of
// the scene has. What the base carries never moves and is not held against
// anything but the arm. It fails for an arm without capsules.
func NewChecker(a *arm.Arm, s *scene.Scene) (*Checker, error) {
	c := &Checker{arm: a, point: geom.Identity()}
	for _, x := range a.Capsules {
		c.add(capsulePiece(x, linkName(x.Frame, len(a.Joints))))
	}
	c.own = len(c.pieces)
	if a.Tool != nil {
		c.point = a.Tool.FlangeFromPoint
		c.hold(&a.Tool.Volume, "tool")
	}
	if len(c.moving) == 0 {
		return nil, fmt.Errorf("the robot has no capsules on its moving links, so nothing is known of its volume; give them in its file")
	}
	for _, o := range s.Objects {
		c.Margin = max(c.Margin, o.Margin)
		for _, x := range o.Solids {
			c.bodies = append(c.bodies, distance.Of(x))
			c.objects = append(c.objects, o.Name)
		}
	}
	c.tree = distance.NewTree(c.bodies)
	c.selfPairs(0)
	return c, nil
}

func (c *Checker) add(p piece) {
	if p.frame > 0 {
		c.moving = append(c.moving, len(c.pieces))
	}
	c.pieces = append(c.pieces, p)
}

// hold adds a volume of the flange's under a name.
func (c *Checker) hold(v *arm.Volume, name string) {
	flange := len(c.arm.Joints)
	for _, x := range v.Capsules {
		x.Frame = flange
		c.add(capsulePiece(x, name))
	}
	for _, b := range v.Boxes {
		c.add(boxPiece(b, flange, name))
	}
}

// Link is the name of a piece in results: the link that carries it, the tool, or
// the part.
func (c *Checker) Link(piece int) string { return c.pieces[piece].name }

// posture is the arm set out at joint angles.
type posture struct {
	q      []float64
	frames []geom.Pose
	axes   []arm.Axis
	pieces []placed // as the checker's
}

// stand sets the arm out at q, reusing the memory of p.
func (c *Checker) stand(p *posture, q []float64) {
	p.q = append(p.q[:0], q...)
	p.frames = c.arm.Frames(q, p.frames)
	p.axes = c.arm.Axes(p.frames, p.axes)
	p.pieces = slices.Grow(p.pieces[:0], len(c.pieces))[:len(c.pieces)]
	for i := range c.pieces {
		c.pieces[i].put(p.frames[c.pieces[i].frame], &p.pieces[i])
	}
}

// pair is a piece of the arm, and a body of the scene or another piece.
type pair struct {
	piece int
	body  int     // in the scene; -1 where it is a piece
	other int     // piece, on a frame nearer to the base
	base  int     // the frame in which the other body stands still
	spare float64 // by how much the two capsules are fatter than the links, mm
}

// gap of a pair at a posture; between the arm's own links its Distance is of the
// links, as far as is known that their capsules are fatter.
func (c *Checker) gap(p *posture, x pair) distance.Gap {
	if x.body >= 0 {
		return distance.Between(p.pieces[x.piece].body, c.bodies[x.body])
	}
	g := distance.Between(p.pieces[x.piece].body, p.pieces[x.other].body)
	g.Distance += x.spare
	return g
}

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
	arm     *arm.Arm  // with the tool's capsules after its own
	own     int       // how many those are
	point   geom.Pose // flangeFromPoint
	moving  []int     // capsules that a joint moves
	tree    *distance.Tree
	bodies  []distance.Body
	objects []string // by body
	self    []pair
	been    been
	into    []overlap // with objects, where the arm stood

	// Margin is the clearance under which a move is near, mm.
	Margin float64
	// Unseen tells whether a part of the arm may meet space that nobody has
	// seen; nil where nothing is known of that, and then no move is clear.
	Unseen func(distance.Capsule) bool
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
	holding := *a
	c := &Checker{arm: &holding, own: len(a.Capsules), point: geom.Identity()}
	if a.Tool != nil {
		c.point = a.Tool.FlangeFromPoint
		holding.Capsules = slices.Concat(a.Capsules, a.Tool.Capsules)
	}
	for k, capsule := range holding.Capsules {
		if capsule.Frame > 0 {
			c.moving = append(c.moving, k)
		}
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
	c.selfPairs()
	return c, nil
}

// Link is the name of a capsule in results: the frame that carries it, or tool.
func (c *Checker) Link(capsule int) string {
	if capsule >= c.own {
		return "tool"
	}
	switch f := c.arm.Capsules[capsule].Frame; f {
	case 0:
		return "base"
	case len(c.arm.Joints):
		return "flange"
	default:
		return fmt.Sprintf("link %d", f)
	}
}

// posture is the arm set out at joint angles.
type posture struct {
	q        []float64
	frames   []geom.Pose
	axes     []arm.Axis
	capsules []distance.Capsule // as the arm's
}

// stand sets the arm out at q, reusing the memory of p.
func (c *Checker) stand(p *posture, q []float64) {
	p.q = append(p.q[:0], q...)
	p.frames = c.arm.Frames(q, p.frames)
	p.axes = c.arm.Axes(p.frames, p.axes)
	p.capsules = p.capsules[:0]
	for _, k := range c.arm.Capsules {
		at := p.frames[k.Frame]
		p.capsules = append(p.capsules, distance.Capsule{From: at.Apply(k.From), To: at.Apply(k.To), Radius: k.Radius})
	}
}

// pair is a capsule of the arm, and a body of the scene or another capsule.
type pair struct {
	capsule int
	body    int     // in the scene; -1 where it is a capsule
	other   int     // capsule, on a frame nearer to the base
	base    int     // the frame in which the other body stands still
	spare   float64 // by how much the two capsules are fatter than the links, mm
}

// gap of a pair at a posture; between the arm's own links its Distance is of the
// links, as far as is known that their capsules are fatter.
func (c *Checker) gap(p *posture, x pair) distance.Gap {
	if x.body >= 0 {
		return distance.Between(p.capsules[x.capsule], c.bodies[x.body])
	}
	g := distance.Between(p.capsules[x.capsule], p.capsules[x.other])
	g.Distance += x.spare
	return g
}

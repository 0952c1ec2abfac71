package reach

import (
	"context"
	"errors"
	"math"

	"cellwall/mapping/cores"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Extent is the space that the arm's moving parts and what they hold can take up,
// turned about the first joint's axis: for every place of a half plane through
// that axis, the angles at which something may be. Nothing is outside of it. With
// the joints' own limits it is the maximum space of ISO 10218-2, within narrower
// ones the restricted space.
type Extent struct {
	baseFromAxis geom.Pose // Z along the first joint's axis
	low          float64   // of the lowest row along it, mm
	n            [2]int    // cells outward, and along the axis
	ahead, back  []arc     // by cell, at the first joint's angle 0: about angle 0, and about pi
	lo, hi       float64   // of the first joint
}

// arc is a range of angles, empty where from exceeds to.
type arc struct{ from, to float64 }

func (a *arc) take(from, to float64) { a.from, a.to = min(a.from, from), max(a.to, to) }

var nowhere = arc{math.Inf(1), math.Inf(-1)}

const (
	// extentCell, mm, is the side of a cell of an Extent: what a drawing on a sheet
	// of paper can show of a robot.
	extentCell = 10.0
	// extentSlack, mm, is how far a point of the arm may travel between two
	// postures that an Extent is made of; it is allowed for.
	extentSlack = 15.0
	// shares is into how many parts the second joint's range is cut for workers.
	shares = 16
)

// ErrCoupled says why there is no Extent.
var ErrCoupled = errors.New("the space is not worked out for an arm one of whose first three joints follows a later one")

// Extent of the arm within limits. It is ErrCoupled where one of the first joints
// follows a later one.
func (c *Checker) Extent(ctx context.Context, l Limits) (*Extent, error) {
	if c.coupled() {
		return nil, ErrCoupled
	}
	e, covers := c.extent(l)
	parts := make([]*Extent, shares)
	cores.Until(ctx, shares, func(i int) {
		parts[i] = e.empty()
		parts[i].fill(c, covers, l, i)
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for _, p := range parts {
		for i := range e.ahead {
			e.ahead[i].take(p.ahead[i].from, p.ahead[i].to)
			e.back[i].take(p.back[i].from, p.back[i].to)
		}
	}
	return e, nil
}

// extent without content, large enough for the arm, and what stands for the arm:
// of balls about one point only the largest.
func (c *Checker) extent(l Limits) (*Extent, []piece) {
	var covers []piece
	for _, p := range c.covers(c.moving) {
		held := false
		for i := range covers {
			o := &covers[i]
			if same := o.frame == p.frame && o.corners[0] == p.corners[0] && o.corners[1] == p.corners[1]; same && p.box == nil && o.box == nil {
				o.radius, held = max(o.radius, p.radius), true
			}
		}
		if !held {
			covers = append(covers, p)
		}
	}
	frames := c.arm.Frames(make([]float64, len(c.arm.Joints)), nil)
	axis := c.arm.Axes(frames, nil)[0]
	e := &Extent{lo: l.Lo[0], hi: l.Hi[0]}
	e.baseFromAxis = geom.Plane{Normal: axis.Along}.Frame(r3.Vec{})
	e.baseFromAxis.T = r3.Sub(axis.Point, r3.Scale(r3.Dot(axis.Along, axis.Point), axis.Along))
	far := 0.0
	for i := range covers {
		far = max(far, covers[i].far())
	}
	for f := range min(leading, len(c.arm.Joints)) {
		far += c.spacing(f)
	}
	far += 2 * (extentSlack + extentCell)
	e.low = -far
	e.n = [2]int{1 + int(far/extentCell), 1 + int(2*far/extentCell)}
	return e.empty(), covers
}

// empty is an extent of the same kind without content.
func (e *Extent) empty() *Extent {
	out := *e
	out.ahead, out.back = make([]arc, e.n[0]*e.n[1]), make([]arc, e.n[0]*e.n[1])
	for i := range out.ahead {
		out.ahead[i], out.back[i] = nowhere, nowhere
	}
	return &out
}

// sample is how the second and third joint's ranges are cut, so that within a
// part no cover travels further than extentSlack by either.
type sample struct {
	n    [leading]int
	half [leading]float64
}

func (c *Checker) sample(covers []piece, l Limits) sample {
	s := sample{n: [leading]int{1, 1, 1}}
	for joint := 1; joint < min(leading, len(c.arm.Joints)); joint++ {
		far := 0.0
		for i := range covers {
			d := covers[i].far()
			for f := joint; f < covers[i].frame; f++ {
				d += c.spacing(f)
			}
			if covers[i].frame > joint {
				far = max(far, d)
			}
		}
		width := l.Hi[joint] - l.Lo[joint]
		s.n[joint] = 1 + int(width*far/(2*extentSlack))
		s.half[joint] = width / float64(2*s.n[joint])
	}
	return s
}

// fill takes in a share of the postures of the second and third joint.
func (e *Extent) fill(c *Checker, covers []piece, l Limits, share int) {
	s := c.sample(covers, l)
	q, half := make([]float64, len(c.arm.Joints)), make([]float64, len(c.arm.Joints))
	copy(half, s.half[:])
	turns := (&envelope{Checker: c}).widths(half)
	set := func(joint, part int) {
		if joint < len(q) {
			q[joint] = l.Lo[joint] + float64(2*part+1)*s.half[joint]
		}
	}
	var at placed
	var p posture
	for i := share * s.n[1] / shares; i < (share+1)*s.n[1]/shares; i++ {
		set(1, i)
		for k := range s.n[2] {
			set(2, k)
			p.frames = c.arm.Frames(q, p.frames)
			p.axes = c.arm.Axes(p.frames, p.axes)
			for _, x := range covers {
				if x.frame < leading && k > 0 && !c.follows(x.frame) {
					continue // the third joint does not move it
				}
				x.put(p.frames[x.frame], &at)
				e.take(&at, roam(at.corners, p.axes[:x.frame], turns))
			}
		}
	}
}

// follows tells whether a joint up to the frame's follows a later one.
func (c *Checker) follows(frame int) bool {
	for _, k := range c.arm.Couplings {
		if k.Joint < frame && k.Follows >= frame {
			return true
		}
	}
	return false
}

// take takes in a piece grown by grow, as balls along its core so near to each
// other that they need to be little larger; of a box the ball round it.
func (e *Extent) take(x *placed, grow float64) {
	if len(x.corners) > 2 {
		centre, radius := x.ball()
		e.ball(centre, radius+grow)
		return
	}
	const larger = 5.0 // mm
	radius := x.radius + grow + larger
	apart := 2 * math.Sqrt(radius*radius-(radius-larger)*(radius-larger))
	along := r3.Sub(x.corners[1], x.corners[0])
	n := math.Ceil(r3.Norm(along) / apart)
	for i := range 1 + int(n) {
		e.ball(r3.Add(x.corners[0], r3.Scale(float64(i)/max(1, n), along)), radius)
	}
}

// ball takes in a ball: in every cell that it touches, the angles under which it
// is seen from the axis.
func (e *Extent) ball(centre r3.Vec, radius float64) {
	p := e.baseFromAxis.Inverse().Apply(centre)
	out, angle := math.Hypot(p.X, p.Y), math.Atan2(p.Y, p.X)
	half := math.Pi
	if out > radius {
		half = math.Asin(radius / out)
	}
	side, about := e.ahead, angle
	if math.Abs(angle) > math.Pi/2 {
		side, about = e.back, math.Remainder(angle-math.Pi, 2*math.Pi)
	}
	reach := radius + extentCell*math.Sqrt2/2
	for row := int((p.Z - reach - e.low) / extentCell); row <= int((p.Z+reach-e.low)/extentCell); row++ {
		up := e.low + (float64(row)+.5)*extentCell - p.Z
		if up*up > reach*reach || row < 0 || row >= e.n[1] {
			continue
		}
		wide := math.Sqrt(reach*reach - up*up)
		first, last := int(math.Ceil((out-wide)/extentCell-.5)), int(math.Floor((out+wide)/extentCell-.5))
		if out-wide < 0 { // over the axis it comes out on the other side, and half is pi
			first = 0
			last = max(last, int(math.Floor((wide-out)/extentCell-.5)))
		}
		for i := first; i <= min(last, e.n[0]-1); i++ {
			side[row*e.n[0]+i].take(about-half, about+half)
		}
	}
}

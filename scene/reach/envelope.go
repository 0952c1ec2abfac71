package reach

import (
	"container/heap"
	"math"

	"cellwall/mapping/arm"
	"cellwall/scene/distance"

	"gonum.org/v1/gonum/spatial/r3"
)

// leading is how many joints, from the base on, are divided when the whole reach
// is bounded. They place the arm; those beyond turn it about its wrist, so what
// they carry is taken as a ball about a point that they do not move.
const leading = 3

// covers are what stands for the pieces in the bound: a piece itself where only
// leading joints move it, else a ball that holds it however the others turn. The
// frame of each is at most leading.
func (c *Checker) covers(pieces []int) []piece {
	var out []piece
	for _, k := range pieces {
		p := c.pieces[k]
		if p.frame > leading {
			p = c.ballAbout(&p)
		}
		out = append(out, p)
	}
	return out
}

// ballAbout holds the piece for all angles of the joints beyond the leading. Its
// centre is the point on the next joint's axis nearest to the origin of the frame
// behind that joint. From there on every frame's origin keeps its distance from
// the one before, whatever the angles, for a joint turns about a fixed line and
// what follows is rigid; so they add up to the radius.
func (c *Checker) ballAbout(p *piece) piece {
	zero := make([]float64, len(c.arm.Joints))
	frames := c.arm.Frames(zero, nil)
	axis := c.arm.Axes(frames, nil)[leading]
	centre := r3.Add(axis.Point, r3.Scale(r3.Dot(axis.Along, r3.Sub(frames[leading+1].T, axis.Point)), axis.Along))
	radius := p.far() + r3.Norm(r3.Sub(frames[leading+1].T, centre))
	for f := leading + 1; f < p.frame; f++ {
		radius += c.spacing(f)
	}
	at := frames[leading].Inverse().Apply(centre)
	return piece{name: p.name, frame: leading, corners: []r3.Vec{at, at}, radius: radius}
}

// spacing is the greatest distance from the origin of frame f to that of the
// next: constant for DH rows; for free poses the turn lies between two offsets,
// whose lengths add up.
func (c *Checker) spacing(f int) float64 {
	j := c.arm.Joints[f]
	if c.arm.Convention == arm.Free {
		return r3.Norm(j.Before.T) + r3.Norm(j.After.T)
	}
	return math.Hypot(j.A, j.D)
}

// region is a box of leading joint angles.
type region struct {
	lo, hi [leading]float64
	lower  float64
}

// coupled tells whether a leading joint follows a later one.
func (c *Checker) coupled() bool { return c.follows(leading) }

// envelope bounds the distance of every object to all that the arm can be.
type envelope struct {
	*Checker
	parts  []piece
	at     placed
	bodies []distance.Body
	least  float64 // at the middle of a region, of what stands for the arm
	queue  []region
}

// regions of an envelope: how finely the joints' ranges are divided at most. It
// bounds the time; where it ends the search the bound is what is certain then.
const regions = 4000

// bound is certain: whatever its joints do within limits, none of the pieces
// comes nearer to the bodies. It is found by halving the leading joints' ranges:
// within a region the arm cannot come nearer than it is in the middle less how
// far it can travel from there. An arm whose leading joints follow others is not
// bounded.
func (c *Checker) bound(pieces []int, bodies []distance.Body, lo, hi []float64) float64 {
	if c.coupled() {
		return math.Inf(-1)
	}
	e := c.envelope(pieces, bodies, lo, hi)
	for n := 0; n < regions && e.queue[0].lower < e.least-closeness; n++ {
		e.halve()
	}
	return min(e.least, e.queue[0].lower)
}

// never tells that the pieces certainly do not touch the bodies, which is decided
// sooner than by how much; false where it is not decided.
func (c *Checker) never(pieces []int, bodies []distance.Body, lo, hi []float64) bool {
	if c.coupled() {
		return false
	}
	e := c.envelope(pieces, bodies, lo, hi)
	for n := 0; n < regions/8 && e.queue[0].lower <= 0 && e.least > 0; n++ {
		e.halve()
	}
	return e.queue[0].lower > 0
}

func (c *Checker) envelope(pieces []int, bodies []distance.Body, lo, hi []float64) *envelope {
	e := &envelope{Checker: c, parts: c.covers(pieces), bodies: bodies, least: math.Inf(1)}
	whole := region{lower: math.Inf(-1)}
	for i := range min(leading, len(lo)) {
		whole.lo[i], whole.hi[i] = lo[i], hi[i]
	}
	e.push(whole)
	return e
}

// halve divides the region of the least bound.
func (e *envelope) halve() {
	r := heap.Pop(e).(region)
	axis := widest(&r)
	mid := (r.lo[axis] + r.hi[axis]) / 2
	low, high := r, r
	low.hi[axis], high.lo[axis] = mid, mid
	e.push(low)
	e.push(high)
}

func widest(r *region) int {
	best := 0
	for i := range r.lo {
		if r.hi[i]-r.lo[i] > r.hi[best]-r.lo[best] {
			best = i
		}
	}
	return best
}

// push works out the region's own bound.
func (e *envelope) push(r region) {
	q, half := make([]float64, len(e.arm.Joints)), make([]float64, len(e.arm.Joints))
	for i := range min(leading, len(q)) {
		q[i], half[i] = (r.lo[i]+r.hi[i])/2, (r.hi[i]-r.lo[i])/2
	}
	frames := e.arm.Frames(q, nil)
	axes := e.arm.Axes(frames, nil)
	turns := e.widths(half)
	lower := math.Inf(1)
	for _, p := range e.parts {
		p.put(frames[p.frame], &e.at)
		way := roam(e.at.corners, axes[:p.frame], turns)
		for _, b := range e.bodies {
			d := distance.Between(e.at.body, b).Distance
			e.least = min(e.least, d)
			lower = min(lower, d-way)
		}
	}
	r.lower = max(lower, r.lower)
	heap.Push(e, r)
}

// widths are the half ranges about the joints' own axes: couplings add theirs.
func (e *envelope) widths(half []float64) []float64 {
	out := append([]float64(nil), half...)
	for _, k := range e.arm.Couplings {
		out[k.Joint] += math.Abs(k.Factor) * half[k.Follows]
	}
	return out
}

// roam is how far the hull of corners can go from where it is while every joint turns by up to
// its width, in any order. Radii are bounded as in travel.
func roam(corners []r3.Vec, axes []arm.Axis, widths []float64) float64 {
	way := 0.0
	for i := len(axes) - 1; i >= 0; i-- {
		radius := 0.0
		for _, end := range corners {
			radius = max(radius, r3.Norm(r3.Cross(axes[i].Along, r3.Sub(end, axes[i].Point))))
		}
		way += (radius + way) * widths[i]
	}
	return way
}

// The queue of regions is a heap by lower bound.

func (e *envelope) Len() int           { return len(e.queue) }
func (e *envelope) Less(i, j int) bool { return e.queue[i].lower < e.queue[j].lower }
func (e *envelope) Swap(i, j int)      { e.queue[i], e.queue[j] = e.queue[j], e.queue[i] }
func (e *envelope) Push(x any)         { e.queue = append(e.queue, x.(region)) }
func (e *envelope) Pop() any {
	last := e.queue[len(e.queue)-1]
	e.queue = e.queue[:len(e.queue)-1]
	return last
}

package distance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// foot is the point of the cylinder nearest to p.
func (c *Cylinder) foot(p r3.Vec) r3.Vec {
	d := r3.Sub(p, c.bar.Centre)
	along, x, y := r3.Dot(d, c.bar.Axis), r3.Dot(d, c.x), r3.Dot(d, c.y)
	if over := math.Hypot(x, y) / c.bar.Radius; over > 1 {
		x, y = x/over, y/over
	}
	half := c.bar.Height / 2
	along = min(max(along, -half), half)
	return r3.Add(r3.Add(c.bar.Centre, r3.Scale(along, c.bar.Axis)), r3.Add(r3.Scale(x, c.x), r3.Scale(y, c.y)))
}

// capsuleCylinder looks for the point of the segment that is nearest to the
// cylinder. The squared distance is convex along the segment, so its slope has
// one change of sign, which is bracketed by false position, with the Illinois
// rule where one end stays (Dowell and Jarratt, BIT 11 (1971) 168). The slab
// across the nearest points ends the search, as in nearest.
func capsuleCylinder(c Capsule, b *Cylinder) Gap {
	u := r3.Sub(c.To, c.From)
	lo, hi := 0.0, 1.0
	slope := func(t float64) (p, q r3.Vec, s float64) {
		p = r3.Add(c.From, r3.Scale(t, u))
		q = b.foot(p)
		return p, q, r3.Dot(u, r3.Sub(p, q))
	}
	_, _, low := slope(lo)
	_, _, high := slope(hi)
	kept := 0 // which end the last step left where it was
	for step := 1; ; step++ {
		t := middling(lo, hi, low, high, step)
		p, q, s := slope(t)
		v := r3.Sub(q, p)
		d := r3.Norm(v)
		if !(d > touching) {
			return overlap(c, b)
		}
		n := r3.Scale(1/d, v)
		slab := min(r3.Dot(n, r3.Sub(q, c.From)), r3.Dot(n, r3.Sub(q, c.To)))
		if d-slab <= Exact || step == MostSteps {
			g := gapOf(c, b, p, q, n, min(d, slab))
			g.Steps = step
			return g
		}
		if s < 0 {
			lo, low = t, s
			if kept == 1 {
				high /= 2
			}
			kept = 1
		} else {
			hi, high = t, s
			if kept == -1 {
				low /= 2
			}
			kept = -1
		}
	}
}

// middling is the next point between lo and hi: an end where the slope does not
// change its sign, else where the slopes' chord crosses zero; every third step
// halves, so that the bracket shrinks whatever the slope is like.
func middling(lo, hi, low, high float64, step int) float64 {
	switch {
	case low >= 0:
		return lo
	case high <= 0:
		return hi
	case step%3 == 0:
		return (lo + hi) / 2
	}
	return lo + (hi-lo)*low/(low-high)
}

package sight

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// GapOf is how far apart rays may run at most, along the line and from line to
// line, so that no obstacle hides between them which is so thick that its shadow,
// seen from the scanner, holds a disc of that diameter, mm: no empty disc between
// two rows of points is wider than the diagonal of their spacings. Of a bar, long
// against the gap, already one as thick as the gap cannot hide.
func GapOf(obstacle float64) float64 { return obstacle / math.Sqrt2 }

// within is the part of the ray, mm from the eye, along which the same rays of the
// lines beside it, where those moves of the scanner take it, lie no further off
// than gap; first exceeds last where there is none.
func (r *Ray) within(gap float64, beside []geom.Pose) (first, last float64) {
	last = math.Inf(1)
	across := func(v r3.Vec) r3.Vec { return r3.Sub(v, r3.Scale(r3.Dot(v, r.Along), r.Along)) }
	for _, m := range beside {
		// At s from the eyes they are |a + s b| apart, which is convex in s.
		a := across(r3.Sub(m.Apply(r.Eye), r.Eye))
		b := across(r3.Sub(m.R.Apply(r.Along), r.Along))
		bb, ab, c := r3.Norm2(b), r3.Dot(a, b), r3.Norm2(a)-gap*gap
		switch disc := ab*ab - bb*c; {
		case bb < tinyTurn*tinyTurn:
			if c > 0 {
				return 1, 0
			}
		case disc < 0:
			return 1, 0
		default:
			root := math.Sqrt(disc)
			first, last = max(first, (-ab-root)/bb), min(last, (-ab+root)/bb)
		}
	}
	return first, last
}

// tinyTurn of a ray, rad, opens no gap: a hundredth of a millimetre at 10 m.
const tinyTurn = 1e-6

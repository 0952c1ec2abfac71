package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// hiddenTop is the sheet of a top 1200 by 600 that is turned by angle, in cells of
// 15 mm, with the points of the top that were seen. Nothing is seen where hidden says so.
func hiddenTop(angle float64, hidden func(r2.Vec) bool) (*sheet, []r2.Vec) {
	const cell = 15
	out, points := &sheet{}, []r2.Vec{}
	for x := -1100.0; x <= 1100; x += cell {
		for y := -1100.0; y <= 1100; y += cell {
			at := r2.Vec{X: x, Y: y}
			if hidden(at) {
				continue
			}
			p := patch{at: [2]float64{x, y}, lo: [2]float64{5, 5}, hi: [2]float64{5, 5}, spacing: 5, deep: 700}
			own := r2.Rotate(at, -angle, r2.Vec{})
			if math.Abs(own.X) <= 600 && math.Abs(own.Y) <= 300 {
				p.deep = 0
				out.closed, points = append(out.closed, p), append(points, at)
			} else {
				out.open = append(out.open, p)
			}
		}
	}
	return out, points
}

// What a slanting shadow leaves of a top has another least rectangle than the top
// itself. The rows at its ends tell which way it runs, unless nothing was seen beside
// it.
func TestHiddenTopIsNotLaidAskew(t *testing.T) {
	t.Parallel()
	const angle = 0.4
	shadow := func(p r2.Vec) bool { return p.X+0.3*p.Y < -100 }
	s, points := hiddenTop(angle, shadow)
	r, sure := s.unaskew(points)
	off := math.Remainder(math.Atan2(r.U.Y, r.U.X)-angle, math.Pi/2)
	if !sure || math.Abs(off) > askewStep {
		t.Errorf("a top in a shadow: %.1f degrees off, sure %v", deg(off), sure)
	}
	s, points = hiddenTop(angle, func(p r2.Vec) bool { return r2.Norm(p) > 250 })
	if r, sure := s.unaskew(points); sure {
		t.Errorf("a disc in the middle of a top has a way that it runs: %v", r.U)
	}
}

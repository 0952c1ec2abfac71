package flat

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Radii computed independently: 2.5 for the 3 by 4 rectangle, 5 for an obtuse
// triangle, whose longest side is a diameter.
func TestEnclosingCircle(t *testing.T) {
	for _, c := range []struct {
		pts  []r2.Vec
		want float64
	}{
		{turned(), 2.5},
		{[]r2.Vec{{X: 0, Y: 0}, {X: 10, Y: 0}, {X: 5, Y: 1}}, 5},
		{[]r2.Vec{{X: 2, Y: 2}}, 0},
		{nil, 0},
	} {
		got := EnclosingCircle(c.pts)
		if math.Abs(got.Radius-c.want) > 1e-12 {
			t.Errorf("%v: radius %g, want %g", c.pts, got.Radius, c.want)
		}
		for _, p := range c.pts {
			if !got.Contains(p) {
				t.Errorf("%v lies outside", p)
			}
		}
	}
}

package flat

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// An L of three unit squares: area 3, centroid (5/6, 5/6) by adding up the
// squares' centres.
var ell = []r2.Vec{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 2, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 2}, {X: 0, Y: 2}}

func TestAreaAndCentroid(t *testing.T) {
	if a := Area(ell); a != 3 {
		t.Errorf("area %g, want 3", a)
	}
	far := make([]r2.Vec, len(ell))
	for i, p := range ell {
		far[i] = r2.Add(p, r2.Vec{X: 1e6, Y: -1e6})
	}
	c := r2.Sub(Centroid(far), r2.Vec{X: 1e6, Y: -1e6})
	if math.Hypot(c.X-5.0/6, c.Y-5.0/6) > 1e-9 {
		t.Errorf("centroid %v, want 5/6, 5/6", c)
	}
}

func TestContains(t *testing.T) {
	for _, c := range []struct {
		p    r2.Vec
		want bool
	}{
		{r2.Vec{X: .5, Y: 1.5}, true}, {r2.Vec{X: 1.5, Y: .5}, true}, {r2.Vec{X: 1.5, Y: 1.5}, false},
		{r2.Vec{X: -1, Y: .5}, false}, {r2.Vec{X: 3, Y: 1}, false},
	} {
		if got := Contains(ell, c.p); got != c.want {
			t.Errorf("%v inside: %v", c.p, got)
		}
	}
}

func TestToRim(t *testing.T) {
	if d := ToRim(ell, r2.Vec{X: 1.5, Y: 2}); math.Abs(d-0.5) > 1e-12 {
		t.Errorf("distance in the notch %g, want 0.5", d)
	}
	if d := ToSegment(r2.Vec{X: 3, Y: 4}, r2.Vec{}, r2.Vec{}); d != 5 {
		t.Errorf("distance to a point %g, want 5", d)
	}
}

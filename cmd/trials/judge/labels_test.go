package judge

import (
	"math"
	"testing"

	"cellwall/fixtures"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Returns from the left half of a top, four to a cell, are a half of it; those of
// another object, off the face or lost are none.
func TestShareSeenOfATop(t *testing.T) {
	t.Parallel()
	f := fixtures.Face{
		Plane:   geom.Plane{Normal: r3.Vec{Z: 1}, Offset: 700},
		Corners: [4]r3.Vec{{X: 100, Z: 700}, {X: 1100, Z: 700}, {X: 1100, Y: 500, Z: 700}, {X: 100, Y: 500, Z: 700}},
	}
	var reached []fixtures.Reached
	for x := 112.5; x < 1100; x += 25 {
		for y := 12.5; y < 500; y += 25 {
			r := fixtures.Reached{Point: r3.Vec{X: x, Y: y, Z: 700}, Object: 3, Returned: x < 600}
			off, other := r, r
			off.Point.Z, other.Object = 701, 4
			if x > 600 {
				off.Returned, other.Returned = true, true
				reached = append(reached, off, other)
			}
			reached = append(reached, r)
		}
	}
	if got := shareSeen(f, 3, reached); math.Abs(got-0.5) > 1e-9 {
		t.Errorf("seen %.3f of the top, want 0.5", got)
	}
}

// A datum is wrong where anything of it is off by over five stated sigma.
func TestPoseIsWrongBySigmas(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		z    [6]float64
		want bool
	}{{[6]float64{4, 0, -4.9}, false}, {[6]float64{5: -5.1}, true}, {[6]float64{math.NaN()}, true}} {
		if got := (Pose{PerSigma: c.z}).Wrong(); got != c.want {
			t.Errorf("off by %v sigmas: wrong %v", c.z, got)
		}
	}
}

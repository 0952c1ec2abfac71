package fit

import (
	"math"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestCrateGoesDownToANearFloor(t *testing.T) {
	for _, c := range []struct{ gap, want float64 }{{100, 500}, {standsWithin + 50, 400}} {
		s := cubeFaces(r3.Vec{X: 1500, Z: 200 + c.gap})
		floor := edgeBound(r3.Vec{Z: 1}, r3.Vec{}, 0.1)
		s.floor = &floor
		k, ok := s.crateOf([]int{0, 1, 2})
		if !ok {
			t.Fatal("no crate")
		}
		within(t, "height with its faces seen to end above the floor", k.box().Size.Z, c.want, 1e-6)
	}
}

// The middle of a cube is half-way between a face, known to 0.1 mm, and an end
// that no face shows, known to endSigma: half their root sum of squares.
func TestCrateSigma(t *testing.T) {
	s := cubeFaces(r3.Vec{X: 1500, Z: 700})
	k, _ := s.crateOf([]int{0, 1, 2})
	o := s.block(k, []int{0, 1, 2})
	want := math.Hypot(0.1, endSigma) / 2
	within(t, "sigma across", o.Cov.SigmaT().X, want, 0.01*want)
	sameWithin(t, "depth", o.Measures["depth_mm"], 400, 1.01*endSigma)
}

func TestCrossing(t *testing.T) {
	pl := geom.Plane{Normal: r3.Vec{X: -1}, Offset: -500}
	if got := crossing(pl, r3.Vec{X: 200, Y: 9}, r3.Vec{X: 1}); got != 300 {
		t.Errorf("the plane lies %g along +X, want 300", got)
	}
}

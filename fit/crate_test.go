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

// The middle of a cube is half-way between a face, known to 0.1 mm, and an end that
// no face shows: half their root sum of squares. That end may lie anywhere from
// where the faces end to what bounds it: nothing here, then a wall 300 mm on.
func TestCrateSigma(t *testing.T) {
	s := cubeFaces(r3.Vec{X: 1500, Z: 700})
	k, _ := s.crateOf([]int{0, 1, 2})
	o := s.block(k, []int{0, 1, 2})
	want := math.Hypot(0.1, largestBlock/math.Sqrt(3)) / 2
	within(t, "sigma across", o.Cov.SigmaT().X, want, 0.01*want)
	sameWithin(t, "depth", o.Measures["depth_mm"], 400, 1.01*2*want)
	if len(o.NotSeen) != 3 || o.NotSeen[0] != "where it ends on the far side" {
		t.Errorf("not seen: %q", o.NotSeen)
	}
	s = cubeFaces(r3.Vec{X: 1500, Z: 700})
	wall := s.surfaces[0]
	wall.Plane = geom.Plane{Normal: r3.Vec{X: -1}, Offset: -2000}
	wall.Centre, wall.Outline = r3.Vec{X: 2000, Z: 700}, []r3.Vec{{X: 2000, Y: -900}, {X: 2000, Y: 900}, {X: 2000, Y: 900, Z: 1500}, {X: 2000, Y: -900, Z: 1500}}
	s.surfaces = append(s.surfaces, wall)
	s.taken = append(s.taken, false)
	k, _ = s.crateOf([]int{0, 1, 2})
	o = s.block(k, []int{0, 1, 2})
	want = math.Hypot(0.1, 300/math.Sqrt(3)) / 2
	within(t, "sigma across, before a wall", o.Cov.SigmaT().X, want, 0.01*want)
}

func TestCrossing(t *testing.T) {
	pl := geom.Plane{Normal: r3.Vec{X: -1}, Offset: -500}
	if got := crossing(pl, r3.Vec{X: 200, Y: 9}, r3.Vec{X: 1}); got != 300 {
		t.Errorf("the plane lies %g along +X, want 300", got)
	}
}

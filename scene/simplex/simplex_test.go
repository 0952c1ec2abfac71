package simplex

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The nearest point of a convex set is the one from which the whole set lies
// beyond the plane across it (the variational inequality; Boyd and Vandenberghe,
// Convex Optimization, 4.2.3), and the simplex that is left spans it.
func TestShrinkMeetsTheOptimalityCondition(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 7))
	inside := 0
	for range 20_000 {
		var s Simplex
		for range 1 + r.IntN(4) {
			a, b := normal(r), normal(r)
			s.Add(Corner{V: r3.Sub(b, a), OnA: a, OnB: b})
		}
		all := append([]Corner(nil), s.Corners()...)
		at := s.Shrink()
		if d := r3.Norm(r3.Sub(r3.Sub(at.OnB, at.OnA), at.V)); d > 1e-12 {
			t.Fatalf("the points on A and B are %g off the nearest", d)
		}
		for _, c := range all {
			if short := r3.Dot(at.V, r3.Sub(at.V, c.V)); short > 1e-9 {
				t.Fatalf("%v is not nearest: %v lies before the plane across it by %g", at.V, c.V, short)
			}
		}
		for _, c := range s.Corners() { // on the side that is left, all corners are in that plane
			if off := r3.Dot(at.V, r3.Sub(at.V, c.V)); off < -1e-9 {
				t.Fatalf("%v is kept, %g beyond the plane", c.V, -off)
			}
		}
		if len(s.Corners()) == 4 {
			inside++
		}
	}
	// Four random points hold the origin in one of eight (Wendel 1962), a quarter of
	// the sets has four.
	if want := 20_000 / 32; inside < want*8/10 || inside > want*12/10 {
		t.Errorf("the origin was inside %d times, want about %d", inside, want)
	}
}

// Corners that coincide or lie in line leave a side without area.
func TestShrinkOfDegenerateCorners(t *testing.T) {
	at := r3.Vec{X: 1, Y: 2, Z: 2}
	for name, corners := range map[string][]r3.Vec{
		"one point four times": {at, at, at, at},
		"in line":              {at, {X: 1, Y: 2, Z: 3}, {X: 1, Y: 2, Z: 5}, {X: 1, Y: 2, Z: 9}},
		"in a plane":           {at, {X: 1, Y: 2, Z: 3}, {X: 1, Y: 5, Z: 2}, {X: 1, Y: 5, Z: 3}},
	} {
		var s Simplex
		for _, v := range corners {
			s.Add(Corner{V: v})
		}
		if got := s.Shrink().V; r3.Norm(r3.Sub(got, at)) > 1e-12 {
			t.Errorf("%s: nearest %v, want %v", name, got, at)
		}
	}
}

func normal(r *rand.Rand) r3.Vec {
	return r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
}

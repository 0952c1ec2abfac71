package mapping

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestKeyHoldsItsPoint(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 20000 {
		size := math.Pow(10, 6*rng.Float64())
		p := r3.Vec{X: size * (2*rng.Float64() - 1), Y: size * (2*rng.Float64() - 1), Z: size * (2*rng.Float64() - 1)}
		for level := range lastLevel + 1 {
			k := keyAt(level, p)
			half := edgeOf(level) / 2 * (1 + 1e-9)
			if d := r3.Sub(p, k.centre()); k.level() != level || math.Abs(d.X) > half || math.Abs(d.Y) > half || math.Abs(d.Z) > half {
				t.Fatalf("voxel of level %d round %v does not hold %v", level, k.centre(), p)
			}
			if level < lastLevel && k.parent() != keyAt(level+1, p) {
				t.Fatalf("parent of the voxel of %v on level %d is not its voxel on the next", p, level)
			}
			if got, want := k.next(1, -1, 2).centre(), r3.Add(k.centre(), r3.Scale(edgeOf(level), r3.Vec{X: 1, Y: -1, Z: 2})); r3.Norm(r3.Sub(got, want)) > 1e-6 {
				t.Fatalf("neighbour at %v, want %v", got, want)
			}
		}
	}
}

// A voxel boundary at z = 0 would split a noisy floor into two layers: zero and
// the round multiples of the edge lie a third of the edge away from one.
func TestRoundCoordinatesLieOffTheBoundaries(t *testing.T) {
	for level := range lastLevel + 1 {
		e := edgeOf(level)
		for _, z := range []float64{0, e, -7 * e, 50 * e} {
			low := keyAt(level, r3.Vec{Z: z - 0.3*e}) // a third of the edge, less rounding
			high := keyAt(level, r3.Vec{Z: z + 0.3*e})
			if low != high {
				t.Errorf("a floor at z = %g mm is split on edge %g mm", z, e)
			}
		}
	}
}

func TestLevelsFollowTheRange(t *testing.T) {
	for _, c := range []struct{ r, edge float64 }{{200, 5}, {899, 5}, {901, 10}, {1799, 10}, {1801, 20}, {30000, 20}} {
		if got := edgeOf(levelFor(c.r)); got != c.edge {
			t.Errorf("at %g mm the edge is %g mm, want %g", c.r, got, c.edge)
		}
	}
}

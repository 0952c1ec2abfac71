package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func randomPose(rng *rand.Rand) Pose {
	return Pose{R: Exp(randomVec(rng)), T: r3.Scale(1000, randomVec(rng))}
}

func TestMulChainsAndInverseUndoes(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 500 {
		a, b, p := randomPose(rng), randomPose(rng), r3.Scale(1000, randomVec(rng))
		if d := r3.Norm(r3.Sub(a.Mul(b).Apply(p), a.Apply(b.Apply(p)))); d > 1e-9 {
			t.Fatalf("a chain of poses moves a point %g mm away from its links", d)
		}
		if d := r3.Norm(r3.Sub(a.Inverse().Apply(a.Apply(p)), p)); d > 1e-9 {
			t.Fatalf("there and back ends %g mm off", d)
		}
	}
}

func TestMinusInvertsPerturb(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range 500 {
		b := randomPose(rng)
		d := [6]float64{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64(), .5 * rng.NormFloat64()}
		if math.Sqrt(d[3]*d[3]+d[4]*d[4]+d[5]*d[5]) > 3 {
			continue // beyond half a turn the shorter way round comes back
		}
		got := b.Perturb(d).Minus(b)
		for i := range d {
			if math.Abs(got[i]-d[i]) > 1e-11 {
				t.Fatalf("Minus gave %v for %v", got, d)
			}
		}
	}
}

// The child turns about its own origin: a point fixed in it moves by
// dt + dw x lever.
func TestPerturbTurnsAboutTheChildsOrigin(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	a, p := randomPose(rng), r3.Vec{X: 100, Y: -50, Z: 20}
	got := r3.Sub(a.Perturb([6]float64{1, 2, 3, 1e-6, -2e-6, 3e-6}).Apply(p), a.Apply(p))
	want := r3.Add(r3.Vec{X: 1, Y: 2, Z: 3}, r3.Cross(r3.Vec{X: 1e-6, Y: -2e-6, Z: 3e-6}, a.R.Apply(p)))
	if d := r3.Norm(r3.Sub(got, want)); d > 1e-8 {
		t.Errorf("the point moved by %v, want %v", got, want)
	}
}

package solid

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The glance at a corner must never keep one that the exact search would pass
// over, whatever direction it looks along, and must settle most real corners.
func TestJutsNeverContradictsNear(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	settled, far := 0, 0
	for range 20000 {
		height := 4 * rng.Float64() // about thinness
		var around []r3.Vec
		for range 3 + rng.IntN(5) {
			around = append(around, r3.Vec{X: 60 * rng.NormFloat64(), Y: 60 * rng.NormFloat64(), Z: -height - 0.3*rng.ExpFloat64()})
		}
		outward := r3.Vec{X: 0.01 * rng.NormFloat64(), Y: 0.01 * rng.NormFloat64(), Z: 1}
		jutting, isNear := juts(around, outward, thinness), near(r3.Vec{}, around, thinness)
		if jutting && isNear {
			t.Fatalf("%v looks out along %v and is near all the same", around, outward)
		}
		if !isNear {
			far++
		}
		if jutting {
			settled++
		}
	}
	if settled < far/4 {
		t.Errorf("of %d corners that stand out the glance settles %d", far, settled)
	}
}

package surface

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The definition of the code, bit by bit.
func TestMortonInterleaves(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 0))
	for range 100 {
		x, y, z := r.Uint64N(2*half), r.Uint64N(2*half), r.Uint64N(2*half)
		var want uint64
		for b := range 21 {
			want |= (x>>b&1)<<(3*b) | (y>>b&1)<<(3*b+1) | (z>>b&1)<<(3*b+2)
		}
		at := func(u uint64) float64 { return (float64(u) - half + 0.5) * leaf }
		if got := morton(r3.Vec{X: at(x), Y: at(y), Z: at(z)}); got != want {
			t.Fatalf("(%d, %d, %d) is %x, want %x", x, y, z, got, want)
		}
	}
}

// By geometry: the code of a neighbour is the code of a place one leaf off.
func TestAround(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 0))
	for range 50 {
		p := r3.Vec{X: 4000 * r.NormFloat64(), Y: 4000 * r.NormFloat64(), Z: 4000 * r.NormFloat64()}
		want := map[uint64]bool{}
		for i := range 27 {
			q := r3.Vec{X: float64(i%3) - 1, Y: float64(i/3%3) - 1, Z: float64(i/9) - 1}
			want[morton(r3.Add(p, r3.Scale(leaf, q)))] = true
		}
		delete(want, morton(p))
		for _, code := range around(morton(p)) {
			if !want[code] {
				t.Fatalf("%v: %x is no neighbour, or twice", p, code)
			}
			delete(want, code)
		}
		if len(want) != 0 {
			t.Fatalf("%v: %d neighbours are missing", p, len(want))
		}
	}
}

func TestMortonHoldsWhatLiesFarOut(t *testing.T) {
	far := r3.Vec{X: 1e12, Y: -1e12}
	if got, want := morton(far), morton(r3.Vec{X: (half - 0.5) * leaf, Y: -half * leaf}); got != want {
		t.Errorf("%x, want that of the rim, %x", got, want)
	}
}

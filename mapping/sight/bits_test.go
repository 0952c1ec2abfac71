package sight

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// drawn is a lattice whose rows end within a word, with some of its cubes set,
// and the same cubes one by one.
func drawn(rng *rand.Rand, n [3]int, share float64) (Lattice, Bits, map[[3]int]bool) {
	l := Lattice{Edge: 10, Origin: r3.Vec{X: -35, Y: 12, Z: 0}, N: n}
	b, set := NewBits(l), map[[3]int]bool{}
	for z := range n[2] {
		for y := range n[1] {
			for x := range n[0] {
				if c := [3]int{x, y, z}; rng.Float64() < share {
					b.Set(c)
					set[c] = true
				}
			}
		}
	}
	return l, b, set
}

// near tells how many cubes within k of c are set, and how many there would be
// without the lattice's end.
func near(set map[[3]int]bool, c [3]int, k int) (n, of int) {
	for x := c[0] - k; x <= c[0]+k; x++ {
		for y := c[1] - k; y <= c[1]+k; y++ {
			for z := c[2] - k; z <= c[2]+k; z++ {
				of++
				if set[[3]int{x, y, z}] {
					n++
				}
			}
		}
	}
	return n, of
}

func TestGrownAndShrunkLookAtTheNeighbours(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, n := range [][3]int{{64, 5, 4}, {70, 6, 7}, {130, 3, 3}} {
		for k := range 3 {
			_, few, fewSet := drawn(rng, n, 0.01)
			_, many, manySet := drawn(rng, n, 0.98)
			grown, shrunk := few.Grown(k), many.Shrunk(k)
			kept := 0
			each(n, func(c [3]int) {
				if some, _ := near(fewSet, c, k); grown.Has(c) != (some > 0) {
					t.Fatalf("%v grown by %d at %v: %v, but %d are set there", n, k, c, grown.Has(c), some)
				}
				some, of := near(manySet, c, k)
				if shrunk.Has(c) != (some == of) {
					t.Fatalf("%v shrunk by %d at %v: %v, but %d of %d are set there", n, k, c, shrunk.Has(c), some, of)
				}
				if some == of {
					kept++
				}
			})
			if shrunk.Count() != kept || k < 2 && kept == 0 {
				t.Errorf("%v shrunk by %d counts %d, want %d and some", n, k, shrunk.Count(), kept)
			}
		}
	}
}

func TestAnyAndAllLookAtTheEight(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	for _, n := range [][3]int{{64, 4, 2}, {70, 6, 8}, {200, 2, 2}} {
		_, b, set := drawn(rng, n, 0.7)
		any, all := b.Any(), b.All()
		each([3]int{n[0] / 2, n[1] / 2, n[2] / 2}, func(c [3]int) {
			some := 0
			for i := range 8 {
				if set[[3]int{2*c[0] + i&1, 2*c[1] + i>>1&1, 2*c[2] + i>>2}] {
					some++
				}
			}
			if any.Has(c) != (some > 0) || all.Has(c) != (some == 8) {
				t.Fatalf("%v: %d of the eight at %v are set, any %v, all %v", n, some, c, any.Has(c), all.Has(c))
			}
		})
	}
}

func each(n [3]int, visit func([3]int)) {
	for x := range n[0] {
		for y := range n[1] {
			for z := range n[2] {
				visit([3]int{x, y, z})
			}
		}
	}
}

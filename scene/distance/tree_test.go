package distance

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// scatter is a scene of n bodies of all flat and round kinds in a cell of 6 m.
func scatter(t testing.TB, r *rand.Rand, n int) []Body {
	out := make([]Body, n)
	for i := range out {
		kind := kinds[2+r.IntN(4)]
		out[i] = draw(t, r, kind, r3.Vec{X: 6000 * (r.Float64() - .5), Y: 6000 * (r.Float64() - .5), Z: 2500 * r.Float64()}).Body
	}
	return out
}

// Whatever the tree finds is what looking at every body finds.
func TestTreeFindsWhatLookingAtAllFinds(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for _, n := range []int{0, 1, 2, 3, 150, 400} {
		bodies := scatter(t, r, n)
		tree := NewTree(bodies)
		for range 300 {
			c := draw(t, r, "capsule", r3.Vec{X: 6000 * (r.Float64() - .5), Y: 6000 * (r.Float64() - .5), Z: 2500 * r.Float64()})
			least, limit := math.Inf(1), 1500*r.Float64()
			for _, b := range bodies {
				least = min(least, Between(c.Body, b).Distance)
			}
			g, i := tree.Nearest(c.Body, limit)
			switch {
			case least >= limit && i != -1:
				t.Fatalf("found %g within %g, the least is %g", g.Distance, limit, least)
			case least < limit && (i < 0 || g.Distance != least):
				t.Fatalf("%d bodies: found %g at %d, the least is %g", n, g.Distance, i, least)
			}
			nearBoxes(t, tree, bodies, c.Bounds(), limit/3)
		}
	}
}

func nearBoxes(t *testing.T, tree *Tree, bodies []Body, b geom.Bounds, margin float64) {
	t.Helper()
	var got, want []int
	tree.Near(b, margin, func(i int) { got = append(got, i) })
	for i, body := range bodies {
		if between(body.Bounds(), b) <= margin*margin {
			want = append(want, i)
		}
	}
	if slices.Sort(got); !slices.Equal(got, want) {
		t.Fatalf("near %v within %g: %v, want %v", b, margin, got, want)
	}
}

func BenchmarkNearest(b *testing.B) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{10, 150, 1000} {
		tree := NewTree(scatter(b, r, n))
		var probes []Body
		for range 256 {
			probes = append(probes, draw(b, r, "capsule", r3.Vec{X: 3000 * (r.Float64() - .5), Y: 3000 * (r.Float64() - .5), Z: 1500 * r.Float64()}).Body)
		}
		b.Run(fmt.Sprintf("%d bodies", n), func(b *testing.B) {
			for i := range b.N {
				tree.Nearest(probes[i%len(probes)], math.Inf(1))
			}
		})
	}
}

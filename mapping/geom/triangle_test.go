package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A right triangle of legs 3 and 4 has the area 6; its normal follows the right
// hand.
func TestTriangle(t *testing.T) {
	tri := Triangle{{}, {X: 3}, {Y: 4}}
	if tri.Area() != 6 || tri.Normal() != (r3.Vec{Z: 1}) {
		t.Errorf("area %g, normal %v", tri.Area(), tri.Normal())
	}
	at, hit := tri.Cut(r3.Vec{X: 1, Y: 1, Z: 5}, r3.Vec{Z: -1})
	if !hit || at != 5 {
		t.Errorf("a ray from 5 above meets it at %g, %v", at, hit)
	}
	if _, hit := tri.Cut(r3.Vec{X: 3, Y: 3, Z: 5}, r3.Vec{Z: -1}); hit {
		t.Error("a ray beside it meets it")
	}
}

// TestClosestBySearch holds the closed form against a fine search over the
// triangle.
func TestClosestBySearch(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	draw := func() r3.Vec { return r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()} }
	for range 200 {
		tri, p := Triangle{draw(), draw(), draw()}, draw()
		best := math.Inf(1)
		const n = 60
		for i := range n + 1 {
			for j := range n + 1 - i {
				u, v := float64(i)/n, float64(j)/n
				q := r3.Add(r3.Scale(1-u-v, tri[0]), r3.Add(r3.Scale(u, tri[1]), r3.Scale(v, tri[2])))
				best = min(best, r3.Norm(r3.Sub(p, q)))
			}
		}
		got := r3.Norm(r3.Sub(p, tri.Closest(p)))
		if got > best+1e-9 || got < best-0.1 {
			t.Fatalf("%v to %v: %g, by search %g", p, tri, got, best)
		}
	}
}

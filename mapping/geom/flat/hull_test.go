package flat

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestHull(t *testing.T) {
	square := []r2.Vec{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 1, Y: 1}, {X: 0, Y: 1}, {X: .5, Y: .5}, {X: .5, Y: 0}, {X: 0, Y: 0}}
	h := Hull(square)
	if len(h) != 4 || Area(h) != 1 {
		t.Errorf("hull of a square: %v", h)
	}
	if h := Hull([]r2.Vec{{X: 1, Y: 1}, {X: 0, Y: 0}, {X: 2, Y: 2}}); len(h) != 2 {
		t.Errorf("hull of a line: %v", h)
	}
	if h := Hull(nil); len(h) != 0 {
		t.Errorf("hull of nothing: %v", h)
	}
}

// By definition a hull is convex and leaves no point outside.
func TestHullHoldsEveryPoint(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 0))
	pts := make([]r2.Vec, 500)
	for i := range pts {
		pts[i] = r2.Vec{X: r.NormFloat64(), Y: r.NormFloat64()}
	}
	h := Hull(pts)
	for i, a := range h {
		b := r2.Sub(h[(i+1)%len(h)], a)
		for _, p := range pts {
			if r2.Cross(b, r2.Sub(p, a)) < 0 {
				t.Fatalf("%v lies outside of edge %d", p, i)
			}
		}
	}
}

package fit

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestBundles(t *testing.T) {
	var points []r3.Vec
	for _, at := range []r3.Vec{{X: 0}, {X: 500}, {X: 500, Y: 700}} {
		for i := range 30 {
			points = append(points, r3.Add(at, r3.Vec{X: float64(i % 5 * 10), Z: -float64(i) * 20}))
		}
	}
	got := bundles(points)
	if len(got) != 3 {
		t.Fatalf("%d bundles of points, want 3", len(got))
	}
	for _, b := range got {
		if size := r3.Sub(b.Max, b.Min); size.X != 40 || size.Y != 0 || size.Z != 580 {
			t.Errorf("a bundle measures %v", size)
		}
	}
}

func TestRoomUnder(t *testing.T) {
	s := shop()
	n := 0
	for _, tb := range s.findTables(nil, nil, nil) {
		if r3.Norm(r3.Sub(tb.top.Centre, benchAt.Apply(r3.Vec{Z: 800}))) < 100 {
			n++
			if !s.roomUnder(&tb.tabletop) || s.solidUnder(&tb.tabletop, apronSide) {
				t.Error("the bench passes for a block")
			}
		}
	}
	if n != 1 {
		t.Errorf("%d benches", n)
	}
}

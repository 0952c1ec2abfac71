package surface

import (
	"math"
	"testing"

	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
)

func tracing(lines ...string) [][]r2.Vec {
	g, on := drawing(lines...)
	return g.trace(func(x, y int) bool { return x >= 0 && y >= 0 && x < g.nx && y < g.ny && on[y*g.nx+x] })
}

// The area that rings enclose is the number of cells, holes counted off.
func TestTrace(t *testing.T) {
	for _, c := range []struct {
		lines []string
		areas []float64
	}{
		{[]string{"#"}, []float64{1}},
		{[]string{"....", ".##.", ".##.", "...."}, []float64{4}},
		{[]string{"#####", "#...#", "#.#.#", "#...#", "#####"}, []float64{25, 1, -9}},
		{[]string{"#.", ".#"}, []float64{1, 1}},       // corners do not join
		{[]string{"###", "#.#", "##."}, []float64{7}}, // the hole is open at a corner
	} {
		rings := tracing(c.lines...)
		if len(rings) != len(c.areas) {
			t.Errorf("%v: %d rings, want %d", c.lines, len(rings), len(c.areas))
			continue
		}
		for i, ring := range rings {
			if a := flat.Area(ring); a != c.areas[i] {
				t.Errorf("%v: ring %d has the area %g, want %g", c.lines, i, a, c.areas[i])
			}
		}
	}
}

func TestStraighten(t *testing.T) {
	// A square of 100 whose sides are stairs of one.
	var ring []r2.Vec
	for i := range 100 {
		ring = append(ring, r2.Vec{X: float64(i), Y: float64(i % 2)})
	}
	for i := range 100 {
		ring = append(ring, r2.Vec{X: 100 - float64(i%2), Y: float64(i)})
	}
	ring = append(ring, r2.Vec{X: 100, Y: 100}, r2.Vec{X: 0, Y: 100})
	got := straighten(ring, 1.5)
	if len(got) != 4 {
		t.Fatalf("%d corners: %v, want 4", len(got), got)
	}
	if a := flat.Area(got); math.Abs(a-1e4) > 200 {
		t.Errorf("area %g, want 10000 within the stairs", a)
	}
	for _, p := range ring {
		if d := flat.ToRim(got, p); d > 1.5 {
			t.Errorf("%v lies %g off", p, d)
		}
	}
	if got := straighten(ring[:3], 10); len(got) != 3 {
		t.Errorf("a triangle becomes %v", got)
	}
}

func TestNetArea(t *testing.T) {
	square := []r2.Vec{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 4}, {X: 0, Y: 4}}
	hole := []r2.Vec{{X: 1, Y: 1}, {X: 1, Y: 2}, {X: 2, Y: 2}, {X: 2, Y: 1}}
	if a := netArea(square, [][]r2.Vec{hole}); a != 15 {
		t.Errorf("area %g, want 15", a)
	}
}

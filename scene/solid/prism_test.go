package solid

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestPrismLeavesOutCornersThatDoNotMatter(t *testing.T) {
	ring := []r3.Vec{{X: 0}, {X: 50}, {X: 100}, {X: 100}, {X: 100, Y: 40}, {Y: 40}}
	for _, direction := range []r3.Vec{{Z: 1}, {Z: -1}} {
		p, err := NewPrism(ring, direction, 10)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(p.Outline()); n != 4 {
			t.Errorf("%d corners, want 4", n)
		}
		if v := p.Volume(); math.Abs(v-40_000) > 1e-6 {
			t.Errorf("volume %g, want 40000", v)
		}
		if in := (r3.Vec{X: 50, Y: 20, Z: 5 * direction.Z}); !p.Contains(in, 0) || p.Contains(r3.Scale(-1, in), 0) {
			t.Errorf("the prism does not stand on the side to which %v points", direction)
		}
	}
}

// The mitre of a right corner stands at sqrt(2) m; a needle's tip is bevelled.
func TestPrismGrowsWithBevels(t *testing.T) {
	needle := []r3.Vec{{X: 0}, {X: 1000, Y: -5}, {X: 1000, Y: 5}}
	p, err := NewPrism(needle, r3.Vec{Z: 1}, 10)
	if err != nil {
		t.Fatal(err)
	}
	if b := p.Bounds(20); math.Abs(b.Min.X+20) > 1e-6 {
		t.Errorf("the tip grew by %g mm, want 20", -b.Min.X)
	}
}

func TestPrismRefuses(t *testing.T) {
	square := []r3.Vec{{}, {X: 10}, {X: 10, Y: 10}, {Y: 10}}
	up := r3.Vec{Z: 1}
	for _, c := range []struct {
		ring      []r3.Vec
		direction r3.Vec
		height    float64
		says      string
	}{
		{square[:2], up, 1, "corners"},
		{square, up, 0, "height"},
		{square, up, math.NaN(), "height"},
		{square, r3.Vec{Z: 2}, 1, "length"},
		{square, r3.Vec{X: 0.6, Z: 0.8}, 1, "plane"},
		{append(square, r3.Vec{X: 3, Y: 5}), up, 1, "not convex"},
		{[]r3.Vec{{}, {X: 1}, {X: 2}}, up, 1, "no area"},
		{[]r3.Vec{{}, {X: 1}, {Y: math.NaN()}}, up, 1, "off"},
	} {
		if _, err := NewPrism(c.ring, c.direction, c.height); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v: %v, want %q", c.ring, err, c.says)
		}
	}
}

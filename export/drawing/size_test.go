package drawing

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestRowsKeepSizesApart(t *testing.T) {
	f := &figure{view: plan()}
	f.put(ratio{1, 10}, r2.Vec{X: 100, Y: 100})
	var sizes []size
	for i := range 12 {
		sizes = append(sizes, size{b: r3.Vec{X: 150 * float64(i+1)}, along: across, text: "some object X 1234.5 ± 0.6"})
	}
	laid := rows(f, sizes, across)
	if len(laid) != len(sizes) {
		t.Fatalf("%d of %d sizes are laid", len(laid), len(sizes))
	}
	for i, a := range laid {
		for _, b := range laid[:i] {
			if a.row == b.row && a.least < b.most && b.least < a.most {
				t.Errorf("two sizes share row %d at %g to %g and %g to %g", a.row, a.least, a.most, b.least, b.most)
			}
		}
	}
}

// ISO 129-1: dimensions read from below or from the right.
func TestStraightTextIsNeverUpsideDown(t *testing.T) {
	for _, to := range []r2.Vec{{X: 1}, {X: 1, Y: 1}, {Y: 1}, {X: -1, Y: 1}, {X: -1}, {X: -1, Y: -1}, {Y: -1}, {X: 1, Y: -1}, {X: 0.1, Y: -1}, {X: -0.1, Y: -1}} {
		turn := straightText(r2.Vec{}, to, r2.Vec{}, "x").Turn
		if turn <= -math.Pi/2+leaning || turn > math.Pi/2+leaning {
			t.Errorf("along %v the text turns by %g", to, turn)
		}
	}
}

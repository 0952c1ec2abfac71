package drawing

import (
	"math"
	"testing"

	"cellwall/export/drawing/paper"

	"gonum.org/v1/gonum/spatial/r2"
)

// A slanting text leaves the corners of the box round it free, an upright one
// takes a box; both are taken where they stand.
func TestFootprintFollowsTheText(t *testing.T) {
	for _, c := range []struct {
		turn    float64
		corners bool // of the box round the text are free
	}{{0, false}, {math.Pi / 2, false}, {0.6, true}, {-1, true}} {
		k := newInk(200, 200)
		text := paper.Text{At: r2.Vec{X: 100, Y: 100}, S: "some bench length 1234.5 ± 0.6", Height: paper.Small, Align: paper.Centre, Turn: c.turn}
		k.takeText(text)
		if _, free := k.underText(text); free {
			t.Errorf("turned by %g: its own place is free", c.turn)
		}
		along := r2.Rotate(r2.Vec{X: 15}, c.turn, r2.Vec{})
		for _, at := range []r2.Vec{r2.Sub(text.At, along), text.At, r2.Add(text.At, along)} {
			if !k.taken[k.cell(at)] {
				t.Errorf("turned by %g: the text at %v is not taken", c.turn, at)
			}
		}
		b := text.Box()
		free := !k.taken[k.cell(r2.Vec{X: b.Min.X + 2, Y: b.Max.Y - 2})] || !k.taken[k.cell(r2.Vec{X: b.Max.X - 2, Y: b.Max.Y - 2})]
		if free != c.corners {
			t.Errorf("turned by %g: corners free is %v", c.turn, free)
		}
	}
}

package lines

import (
	"testing"

	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestEdges(t *testing.T) {
	up, aside := r3.Vec{Z: 1}, r3.Vec{X: 1}
	box := block(r3.Vec{}, r3.Vec{X: 1, Y: 2, Z: 3}).Mesh(0)
	if n := len(edges(box, up)); n != 12 {
		t.Errorf("a box has %d edges, want 12: its diagonals are none", n)
	}
	bar := solid.Cylinder{Axis: up, Radius: 100, Height: 50}.Mesh(0)
	rims, outlines := 0, 0
	for _, e := range edges(bar, aside) {
		if e.smooth {
			outlines++
		} else {
			rims++
		}
	}
	if sides := len(bar.Vertices) / 2; rims != 2*sides || outlines != 2 {
		t.Errorf("a bar of %d sides has %d rim edges and %d outlines, want %d and 2", sides, rims, outlines, 2*sides)
	}
}

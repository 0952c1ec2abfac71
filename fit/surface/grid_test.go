package surface

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestGridCoversWithPad(t *testing.T) {
	g := newGrid(r2.Vec{X: -3, Y: 2}, r2.Vec{X: 17, Y: 9}, 2, 5)
	for _, p := range []r2.Vec{{X: -3 - 5, Y: 2 - 5}, {X: 17 + 5, Y: 9 + 5}, {X: 4, Y: 4}} {
		i := g.at(p)
		lo := g.node(i%g.nx, i/g.nx)
		if i < 0 || i >= g.nx*g.ny || p.X < lo.X || p.X > lo.X+2 || p.Y < lo.Y || p.Y > lo.Y+2 {
			t.Errorf("%v is said to lie in cell %d at %v", p, i, lo)
		}
	}
}

// Against looking at every cell.
func TestNearest(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 0))
	for _, share := range []float64{0, 0.002, 0.05, 0.5} {
		g := grid{cell: 1, nx: 37, ny: 23}
		on := make([]bool, g.nx*g.ny)
		for i := range on {
			on[i] = r.Float64() < share
		}
		near := g.nearest(on)
		for i := range on {
			want := math.MaxInt
			for k := range on {
				if on[k] {
					want = min(want, g.between(i, k))
				}
			}
			switch {
			case want == math.MaxInt && near[i] != -1:
				t.Fatalf("cell %d: nearest %d, but none is on", i, near[i])
			case want < math.MaxInt && (!on[near[i]] || g.between(i, int(near[i])) != want):
				t.Fatalf("cell %d: nearest %d, the distance should be sqrt %d", i, near[i], want)
			}
		}
	}
}

func TestParts(t *testing.T) {
	g, on := drawing(
		"##..#",
		"#...#",
		"..#.#",
		"....#",
	)
	label, n := g.parts(on)
	if n != 3 {
		t.Fatalf("%d parts, want 3", n)
	}
	for i, l := range label {
		if on[i] != (l >= 0) {
			t.Errorf("cell %d has label %d", i, l)
		}
	}
	if label[0] != label[5] || label[4] != label[19] || label[0] == label[4] || label[12] == label[0] {
		t.Errorf("labels %v", label)
	}
}

// drawing makes a grid of cells of 1 mm; the first line is the lowest row.
func drawing(lines ...string) (grid, []bool) {
	g := grid{cell: 1, nx: len(lines[0]), ny: len(lines)}
	on := make([]bool, g.nx*g.ny)
	for y, l := range lines {
		for x := range l {
			on[y*g.nx+x] = l[x] == '#'
		}
	}
	return g, on
}

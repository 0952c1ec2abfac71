package mapping

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// lines is a wall at 2.4 m, seen in lines dz apart with points dy apart.
func lines(dy, dz float64) *scan {
	return seen(func(add func(r3.Vec)) {
		for z := 0.0; z < 2000; z += dz {
			for y := 0.0; y < 1000; y += dy {
				add(r3.Vec{X: 2400, Y: y, Z: z})
			}
		}
	})
}

func edges(s *scan) map[float64]int {
	n := map[float64]int{}
	for i := range s.table.n {
		n[edgeOf(s.table.at(i).key.level())]++
	}
	return n
}

// Voxels are folded until lines close to a surface, and no further.
func TestFoldingClosesLines(t *testing.T) {
	for _, c := range []struct{ dz, edge float64 }{{8, 20}, {18, 20}, {35, 40}, {70, 80}, {400, 80}} {
		s := lines(6, c.dz)
		var before float64
		for i := range s.table.n {
			before += s.table.at(i).n
		}
		s.table.coarsen()
		n := edges(s)
		if len(n) != 1 || n[c.edge] == 0 {
			t.Errorf("lines %g mm apart give voxels %v, want %g mm", c.dz, n, c.edge)
		}
		if m := momentsOf(s.table); m.N != before {
			t.Errorf("folding keeps %g of %g points", m.N, before)
		}
	}
}

// A few strays on a level of their own say nothing about the scan's spacing.
func TestStraysDoNotFoldTheirLevel(t *testing.T) {
	s := seen(func(add func(r3.Vec)) {
		for z := 0.0; z < 200; z += 1.5 {
			for y := 0.0; y < 200; y += 1.5 {
				add(r3.Vec{X: 500, Y: y, Z: z})
			}
		}
		for k := range 20 {
			add(r3.Vec{X: 2000 + 97*float64(k), Y: 31 * float64(k), Z: 55 * float64(k)})
		}
	})
	s.table.coarsen()
	if n := edges(s); n[5] == 0 || n[20] == 0 || len(n) != 2 {
		t.Errorf("voxels %v, want some of 5 and the strays' of 20 mm", n)
	}
}

package space

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Held against counting the voxels of each column.
func TestColumnsCountTheHeightInReach(t *testing.T) {
	s := drawn(6)
	c := s.Columns()
	told := map[bool]int{}
	for x := range s.Lattice.N[0] {
		for y := range s.Lattice.N[1] {
			reached, unseen := 0, 0
			for z := range s.Lattice.N[2] {
				if v := [3]int{x, y, z}; s.reach.Has(v) {
					reached++
					if s.At(v) == Unseen {
						unseen++
					}
				}
			}
			p := s.Lattice.Centre([3]int{x, y, 0})
			p.Z = 9999 // a column has no height
			if got := c.MostlyUnseen(p); got != (2*unseen > reached) {
				t.Errorf("column %d, %d: %d of %d unseen, and mostly: %v", x, y, unseen, reached, got)
			}
			told[c.MostlyUnseen(p)]++
		}
	}
	if told[true] < 10 || told[false] < 10 {
		t.Errorf("told %v: the draw shows too little", told)
	}
	if c.MostlyUnseen(r3.Vec{X: -9999}) {
		t.Error("beyond the lattice there is something in reach")
	}
}

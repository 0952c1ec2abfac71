package space

import (
	"cellwall/mapping/geom"
	"cellwall/mapping/sight"
)

// Within visits the voxels in a state that touch the bounds.
func (s *States) Within(b geom.Bounds, want State, visit func(c [3]int)) {
	lo, hi := s.Lattice.Span(b)
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for x := lo[0]; x <= hi[0]; x++ {
				if c := [3]int{x, y, z}; s.At(c) == want {
					visit(c)
				}
			}
		}
	}
}

// ClearIn is how much clear space the bodies take together, grown by margin,
// mm^3: of the voxels whose middles lie in one of them.
func (s *States) ClearIn(bodies []Body, margin float64) float64 {
	taken := sight.NewBits(s.Lattice)
	for _, b := range bodies {
		s.Within(b.Bounds(margin), Clear, func(c [3]int) {
			if !taken.Has(c) && b.Contains(s.Lattice.Centre(c), margin) {
				taken.Set(c)
			}
		})
	}
	return float64(taken.Count()) * s.Lattice.Edge * s.Lattice.Edge * s.Lattice.Edge
}

// All are the voxels in a state.
func (s *States) All(want State) sight.Bits {
	out := sight.NewBits(s.Lattice)
	all := geom.Bounds{Min: s.Lattice.Centre([3]int{}), Max: s.Lattice.Centre([3]int{s.Lattice.N[0] - 1, s.Lattice.N[1] - 1, s.Lattice.N[2] - 1})}
	s.Within(all, want, out.Set)
	return out
}

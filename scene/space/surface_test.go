package space

import (
	"testing"

	"cellwall/mapping/sight"
)

// Every edge belongs to two faces that run along it in opposite ways, and the
// surface encloses the unseen voxels in reach and what was taken in to seal it.
func TestSurfaceIsClosed(t *testing.T) {
	for seed := range uint64(20) {
		s := drawn(seed)
		m := s.Surface()
		runs := map[[2]int32]int{}
		for _, f := range m.Faces {
			for i := range 3 {
				runs[[2]int32{f[i], f[(i+1)%3]}]++
			}
		}
		for e, n := range runs {
			if n != 1 || runs[[2]int32{e[1], e[0]}] != 1 {
				t.Fatalf("seed %d: edge %v is run along %d times, and back %d times", seed, e, n, runs[[2]int32{e[1], e[0]}])
			}
		}
		sealed := s.inReach()
		sealed.Seal()
		voxel := s.Lattice.Edge * s.Lattice.Edge * s.Lattice.Edge
		if want := voxel * float64(sealed.Count()); m.Volume() < want*(1-1e-9) || m.Volume() > want*(1+1e-9) {
			t.Errorf("seed %d: it encloses %g mm3, want %g", seed, m.Volume(), want)
		}
		if lost := s.inReach(); lost.Count() > 0 {
			lost.Without(sealed)
			if lost.Count() > 0 {
				t.Errorf("seed %d: %d unseen voxels are left out", seed, lost.Count())
			}
		}
	}
}

func TestSurfaceOfNothing(t *testing.T) {
	s := drawn(1)
	s.reach = sight.NewBits(s.Lattice)
	if m := s.Surface(); len(m.Faces) > 0 || len(m.Vertices) > 0 {
		t.Errorf("%d faces round nothing", len(m.Faces))
	}
}

package reach

import (
	"math"
	"math/bits"
	"sync/atomic"

	"cellwall/mapping/geom"
	"cellwall/mapping/sight"
	"cellwall/scene/distance"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// grains are along each side of a voxel: the arm's boundary runs through
	// voxels that are not clear as a whole, and what the arm has been in is told
	// apart at a quarter of them, in the 64 bits of a word.
	grains = 4
	// farthest is up to how many voxels it is kept how far unseen ones are.
	farthest = 16
)

// seen tells what parts of the arm lie in space that was seen, or that the arm
// has been in.
type seen struct {
	lattice sight.Lattice
	places  *distance.Tree
	bodies  []distance.Body
	apart   []uint8 // by voxel: so many voxels further the nearest unseen one lies, along the furthest axis; 0 for one itself

	known []atomic.Bool   // by voxel
	was   []atomic.Uint64 // its grains that the arm has been in, once known
}

// Look has moves held against the states of space. What the arm has been in,
// as far as Been was told before, counts as seen, to a quarter of a voxel.
func (c *Checker) Look(states *space.States) {
	places := c.been.all()
	l := states.Lattice
	s := &seen{lattice: l, places: distance.NewTree(places), bodies: places,
		apart: make([]uint8, l.Cubes()), known: make([]atomic.Bool, l.Cubes()), was: make([]atomic.Uint64, l.Cubes())}
	s.measure(states)
	c.seen, c.unseen = s, s.unseen
}

// measure works out how far from unseen voxels the others are. What lies beyond
// the lattice is unseen, too.
func (s *seen) measure(states *space.States) {
	l := s.lattice
	near := states.All(space.Unseen)
	for i := range s.apart {
		s.apart[i] = farthest
	}
	for step := range farthest {
		near.Each(func(v [3]int) {
			if i := s.index(v); int(s.apart[i]) > step {
				s.apart[i] = uint8(step)
			}
		})
		near = near.Grown(1)
	}
	for z := range l.N[2] {
		for y := range l.N[1] {
			for x := range l.N[0] {
				edge := 1 + min(x, y, z, l.N[0]-1-x, l.N[1]-1-y, l.N[2]-1-z)
				i := s.index([3]int{x, y, z})
				s.apart[i] = min(s.apart[i], uint8(min(edge, farthest)))
			}
		}
	}
}

func (s *seen) index(v [3]int) int { return (v[2]*s.lattice.N[1]+v[1])*s.lattice.N[0] + v[0] }

// around is how far from p there is nothing unseen, at least.
func (s *seen) around(p r3.Vec) float64 {
	v := s.lattice.At(p)
	if !s.lattice.Holds(v) {
		return 0
	}
	return s.lattice.Edge * float64(max(1, s.apart[s.index(v)])-1)
}

// unseen tells whether a piece of the arm, grown by grow, may meet a grain that
// was not seen. A piece slimmer than a grain is taken as thick as one. One that
// is grown by voxels says yes at once where it may, for it will be asked about
// in smaller stretches.
func (s *seen) unseen(x *placed, grow float64) bool {
	grow += max(0, s.lattice.HalfDiagonal()/grains-x.thin()-grow)
	if s.freeAlong(x, grow) {
		return false
	}
	if grow > 2*s.lattice.Edge {
		return true
	}
	met := false
	s.near(x, grow, func(v [3]int, off float64) bool {
		if !s.lattice.Holds(v) {
			met = true
			return false
		}
		left := ^s.grains(v)
		if off > -s.lattice.HalfDiagonal() {
			left = s.within(x, grow, v, left)
		}
		met = left != 0
		return !met
	})
	return met
}

// freeAlong tells whether there is certainly nothing unseen within the piece
// grown by grow, from how far unseen voxels are from points of its core. Where
// that takes short steps it is not told.
func (s *seen) freeAlong(x *placed, grow float64) bool {
	if len(x.corners) > 2 {
		centre, ball := x.ball()
		return s.around(centre) >= ball+grow
	}
	need := x.radius + grow
	along := r3.Sub(x.corners[1], x.corners[0])
	l := r3.Norm(along)
	for at := 0.0; ; {
		p := x.corners[0]
		if l > 0 {
			p = r3.Add(p, r3.Scale(at/l, along))
		}
		spare := s.around(p) - need
		switch {
		case spare < 0:
			return false
		case at >= l:
			return true
		case spare < s.lattice.Edge/4:
			return false
		}
		at = min(at+spare, l)
	}
}

// near visits the unseen voxels that may touch the piece grown by grow, and how
// far their middles lie outside of it, until visit says no. Where it reaches
// beyond the lattice, it visits a voxel there.
func (s *seen) near(x *placed, grow float64, visit func(v [3]int, off float64) bool) {
	l := s.lattice
	by := r3.Vec{X: grow, Y: grow, Z: grow}
	b := x.body.Bounds()
	b.Min, b.Max = r3.Sub(b.Min, by), r3.Add(b.Max, by)
	for _, end := range [2]r3.Vec{b.Min, b.Max} {
		if v := l.At(end); !l.Holds(v) && !visit(v, 0) {
			return
		}
	}
	lo, hi := l.Span(b)
	half := l.HalfDiagonal()
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			row := s.index([3]int{0, y, z})
			for i := lo[0]; i <= hi[0]; i++ {
				if s.apart[row+i] > 0 {
					continue
				}
				v := [3]int{i, y, z}
				if off := x.off(l.Centre(v)) - grow; off <= half && !visit(v, off) {
					return
				}
			}
		}
	}
}

// middles visits the unseen voxels whose middles lie in the piece.
func (s *seen) middles(x *placed, visit func(v [3]int)) {
	s.near(x, 0, func(v [3]int, off float64) bool {
		if off <= 0 && s.lattice.Holds(v) {
			visit(v)
		}
		return true
	})
}

// within are those of the voxel's grains whose middles lie in the piece grown by
// grow.
func (s *seen) within(x *placed, grow float64, voxel [3]int, of uint64) uint64 {
	var in uint64
	for ; of != 0; of &= of - 1 {
		g := bits.TrailingZeros64(of)
		if x.off(s.grain(voxel, g)) <= grow {
			in |= 1 << g
		}
	}
	return in
}

// grain is the middle of one of a voxel's.
func (s *seen) grain(voxel [3]int, g int) r3.Vec {
	at := func(i int) float64 { return (float64(i)+.5)/grains - .5 }
	return r3.Add(s.lattice.Centre(voxel), r3.Scale(s.lattice.Edge, r3.Vec{X: at(g % grains), Y: at(g / grains % grains), Z: at(g / grains / grains)}))
}

// grains of the voxel that the arm has been in, a bit each. They follow from
// where it was alone, so it does not matter which worker works them out.
func (s *seen) grains(voxel [3]int) uint64 {
	i := s.index(voxel)
	if s.known[i].Load() {
		return s.was[i].Load()
	}
	half := s.lattice.Edge / 2
	by, centre := r3.Vec{X: half, Y: half, Z: half}, s.lattice.Centre(voxel)
	var was uint64
	var place placed
	s.places.Near(geom.Bounds{Min: r3.Sub(centre, by), Max: r3.Add(centre, by)}, 0, func(k int) {
		if was == math.MaxUint64 {
			return
		}
		c := s.bodies[k].(distance.Capsule)
		place.corners, place.radius = append(place.corners[:0], c.From, c.To), c.Radius
		was |= s.within(&place, scallop, voxel, ^was)
	})
	s.was[i].Store(was)
	s.known[i].Store(true)
	return was
}

package space

import (
	"math"

	"cellwall/mapping"
	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
	"cellwall/mapping/sight"
)

// Known is what the states rest on beside the cloud.
type Known struct {
	Slack  float64     // how far a measured place may be off, mm
	Ignore []geom.Box  // of what stands in these nothing is known
	Floor  *geom.Plane // what lies below is not counted as in reach; nil: all is
}

// Of works out the states of space from where the cloud's rays passed and where
// they ended; nil where the cloud does not know where they passed. The cubes of
// the cloud's grid are half a voxel wide. A voxel is solid where a point fell
// into it or into a cube near it, and clear where it is not solid and it and the
// cubes near it were all crossed: near is one cube, or as many as hold the
// slack, so that neither an edge that a ray passed by a hair nor a sweep that is
// a little off makes a voxel clear. Cubes that rays without a return claim to have
// crossed count where the cloud takes such claims.
func Of(cloud *mapping.Cloud, k Known) *States {
	g := cloud.Sight
	if g == nil {
		return nil
	}
	cubes := g.Lattice()
	near := max(1, int(math.Ceil(k.Slack/cubes.Edge)))
	s := &States{Lattice: sight.Lattice{
		Origin: cubes.Origin, Edge: 2 * cubes.Edge, N: [3]int{cubes.N[0] / 2, cubes.N[1] / 2, cubes.N[2] / 2},
	}}
	met := hits(cloud, cubes).Grown(near)
	s.solid = met.Any()
	s.clear = g.Crossed().Shrunk(near).All()
	s.clear.Without(s.solid)
	if all, ok := g.Claimed(met); ok {
		s.claim(all.Shrunk(near).All())
	}
	for _, b := range k.Ignore {
		s.forget(b)
	}
	s.reach = reached(g.Reach(), s.Lattice)
	if k.Floor != nil {
		s.drop(*k.Floor)
	}
	return s
}

// claim takes all as clear but for what is solid, and remembers what was not so
// without.
func (s *States) claim(all sight.Bits) {
	all.Without(s.solid)
	s.claimed, s.relied = all.Clone(), true
	s.claimed.Without(s.clear)
	s.clear = all
}

// hits are the cubes that a used point may have fallen into.
func hits(cloud *mapping.Cloud, l sight.Lattice) sight.Bits {
	out := sight.NewBits(l)
	for i := range cloud.Voxels {
		lo, hi := l.Span(cloud.Voxels[i].Bounds)
		if lo[0] > hi[0] {
			continue
		}
		for z := lo[2]; z <= hi[2]; z++ {
			for y := lo[1]; y <= hi[1]; y++ {
				out.Fill(lo[0], hi[0], y, z)
			}
		}
	}
	return out
}

// forget takes the voxels that the box touches out of what is clear.
func (s *States) forget(b geom.Box) {
	around := geom.NoBounds()
	for _, c := range b.Corners() {
		around.Extend(c)
	}
	gone := sight.NewBits(s.Lattice)
	b = b.Grown(s.Lattice.HalfDiagonal())
	lo, hi := s.Lattice.Span(around)
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for x := lo[0]; x <= hi[0]; x++ {
				if c := [3]int{x, y, z}; b.Contains(s.Lattice.Centre(c)) {
					gone.Set(c)
				}
			}
		}
	}
	s.clear.Without(gone)
	if s.relied {
		s.claimed.Without(gone)
	}
}

// reached are the voxels that a ball of the reach touches.
func reached(r arm.Reach, l sight.Lattice) sight.Bits {
	out := sight.NewBits(l)
	for _, c := range r.Centres {
		out.FillCapsule(l, arm.Capsule{From: c, To: c, Radius: r.Radius + l.HalfDiagonal()}, 0)
	}
	return out
}

// drop takes the voxels that lie wholly below the floor out of the reach.
func (s *States) drop(floor geom.Plane) {
	below := sight.NewBits(s.Lattice)
	half := s.Lattice.HalfDiagonal()
	for z := range s.Lattice.N[2] {
		for y := range s.Lattice.N[1] {
			for x := range s.Lattice.N[0] {
				if c := [3]int{x, y, z}; floor.Distance(s.Lattice.Centre(c)) < -half {
					below.Set(c)
				}
			}
		}
	}
	s.reach.Without(below)
}

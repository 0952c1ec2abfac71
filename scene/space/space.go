// Package space keeps the three states of space apart: clear, where rays or the
// arm itself passed; solid, where something was measured or stands next to it;
// and unseen, which is neither and never free.
package space

import (
	"cellwall/mapping/geom"
	"cellwall/mapping/sight"

	"gonum.org/v1/gonum/spatial/r3"
)

// State of a place.
type State uint8

// The three states. What nobody looked at is unseen, so that is the zero value.
const (
	Unseen State = iota
	Clear
	Solid
)

// String is the state's name.
func (s State) String() string { return [...]string{"unseen", "clear", "solid"}[s] }

// States of space by voxels over the arm's reach, base frame. All beyond is
// unseen.
type States struct {
	Lattice sight.Lattice // of the voxels
	clear   sight.Bits
	solid   sight.Bits
	reach   sight.Bits // voxels that the arm can touch and that lie above the floor
	claimed sight.Bits // those of the clear ones that no return alone tells of
	relied  bool       // no return was taken to tell something
}

// State of the voxel that holds p (base, mm).
func (s *States) State(p r3.Vec) State { return s.At(s.Lattice.At(p)) }

// At is the state of a voxel of the lattice, or of one beyond it.
func (s *States) At(c [3]int) State {
	switch {
	case !s.Lattice.Holds(c):
		return Unseen
	case s.solid.Has(c):
		return Solid
	case s.clear.Has(c):
		return Clear
	}
	return Unseen
}

// Body is what can be held against the states: any solid.Solid is one, and a
// Capsule.
type Body interface {
	// Contains tells whether p lies in the body grown by margin mm.
	Contains(p r3.Vec, margin float64) bool
	// Bounds is an axis-aligned box round the body grown by margin mm.
	Bounds(margin float64) geom.Bounds
}

// AnyUnseen tells whether the body may meet unseen space. It is exact one way:
// where it says no, no point of the body is unseen.
func (s *States) AnyUnseen(b Body) bool {
	return s.any(b, func(st State) bool { return st == Unseen })
}

// AllClear tells whether no point of the body is unseen or solid. It is exact
// one way: where it says yes, every point of the body is clear.
func (s *States) AllClear(b Body) bool {
	return !s.any(b, func(st State) bool { return st != Clear })
}

// any tells whether a voxel that the body may touch is of the kind. A voxel's
// points lie within half its diagonal of its centre.
func (s *States) any(b Body, kind func(State) bool) bool {
	around := b.Bounds(0)
	lo, hi := s.Lattice.At(around.Min), s.Lattice.At(around.Max)
	if kind(Unseen) && (!s.Lattice.Holds(lo) || !s.Lattice.Holds(hi)) {
		return true // it may reach beyond the lattice
	}
	lo, hi = s.Lattice.Span(around)
	half := s.Lattice.HalfDiagonal()
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for x := lo[0]; x <= hi[0]; x++ {
				c := [3]int{x, y, z}
				if kind(s.At(c)) && b.Contains(s.Lattice.Centre(c), half) {
					return true
				}
			}
		}
	}
	return false
}

// Volumes are in m^3, those of InReach of what the arm can touch above the
// floor, the others of all the lattice. ByNoReturn is what of the clear rays tell
// alone that gave no return; nil where these were taken to tell nothing.
type Volumes struct {
	Clear, Solid, Unseen, UnseenInReach float64
	ByNoReturn                          *float64
}

// Volumes of the three states.
func (s *States) Volumes() Volumes {
	voxel := s.Lattice.Edge / 1000
	voxel *= voxel * voxel
	clear, solid := s.clear.Count(), s.solid.Count()
	v := Volumes{
		Clear: voxel * float64(clear), Solid: voxel * float64(solid),
		Unseen: voxel * float64(s.Lattice.Cubes()-clear-solid), UnseenInReach: voxel * float64(s.inReach().Count()),
	}
	if s.relied {
		m3 := voxel * float64(s.claimed.Count())
		v.ByNoReturn = &m3
	}
	return v
}

// UnseenInReach visits the unseen voxels that the arm can touch.
func (s *States) UnseenInReach(visit func(c [3]int)) { s.inReach().Each(visit) }

// inReach are the unseen voxels that the arm can touch.
func (s *States) inReach() sight.Bits {
	u := s.reach.Clone()
	u.Without(s.clear)
	u.Without(s.solid)
	return u
}

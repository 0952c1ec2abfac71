package reach

import (
	"math/bits"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// finestUnseen, mm, is how far a link may travel over the shortest stretch that
// is looked at for unseen space: next to nothing beside a voxel.
const finestUnseen = 2

// Unseen is where a move enters unseen space first: with which link, at what part
// of the move. Volume is about how much of it the arm sweeps on the whole move,
// mm^3, and Within a box round that; they are told of moves whose verdict is
// IntoUnseen.
type Unseen struct {
	Link   string
	At     float64
	Q      []float64
	Volume float64
	Within geom.Bounds
}

// entersUnseen is the first place along the way where a link may meet unseen
// space; nil where it is certain that none does.
func (c *Checker) entersUnseen(w way) *Unseen {
	parts := float64(len(w.knots) - 1)
	for i := range len(w.knots) - 1 {
		s := c.sweepOf(w, i)
		for _, k := range slices.Backward(c.moving) { // the outermost go furthest, and so mostly enter first
			s.link(k, 0, 1)
		}
		if s.first != nil {
			s.first.At = (float64(i) + s.first.At) / parts
			return s.first
		}
	}
	return nil
}

// sweep is the arm on a straight line in joint angles.
type sweep struct {
	*Checker
	q0, step, turn []float64
	slack          float64
	at             posture
	first          *Unseen
}

// sweepOf part i of the way.
func (c *Checker) sweepOf(w way, i int) *sweep {
	q0, q1 := w.knots[i], w.knots[i+1]
	s := &sweep{Checker: c, q0: q0, step: make([]float64, len(q0)), slack: w.slack}
	for k := range s.step {
		s.step[k] = q1[k] - q0[k]
	}
	s.turn = c.arm.Turns(s.step)
	return s
}

// place is the arm at t along the sweep.
func (s *sweep) place(t float64) []float64 {
	q := make([]float64, len(s.q0))
	for i := range q {
		q[i] = s.q0[i] + t*s.step[i]
	}
	s.stand(&s.at, q)
	return q
}

// link looks for the first place on a stretch where piece k may meet unseen
// space: it lies within where it is midway, grown by how far it travels from
// there. Stretches are halved until that is in seen space, or too short to
// matter; what lies behind a place found already does not.
func (s *sweep) link(k int, lo, hi float64) (found bool) {
	if s.first != nil && lo >= s.first.At {
		return false
	}
	mid, half := (lo+hi)/2, (hi-lo)/2
	q := s.place(mid)
	way := s.travel(&s.at, k, 0, s.turn, half).way
	switch {
	case !s.unseen(&s.at.pieces[k], way+s.slack):
		return false
	case way > finestUnseen:
		return s.link(k, lo, mid) || s.link(k, mid, hi)
	}
	if s.first == nil || mid < s.first.At {
		s.first = &Unseen{Link: s.Link(k), At: mid, Q: q}
	}
	return true
}

// amount tells how much unseen space the way meets: of the voxels whose middles a
// piece passes over, what the arm has not been in.
func (c *Checker) amount(w way, u *Unseen) {
	met := map[[3]int]bool{}
	for i := range len(w.knots) - 1 {
		s := c.sweepOf(w, i)
		for _, k := range c.moving {
			s.gather(k, 0, 1, met)
		}
	}
	l := c.seen.lattice
	u.Within = geom.NoBounds()
	by := r3.Scale(l.Edge/2, r3.Vec{X: 1, Y: 1, Z: 1})
	count := 0
	for v := range met {
		count += bits.OnesCount64(^c.seen.grains(v))
		u.Within.Extend(r3.Sub(l.Centre(v), by))
		u.Within.Extend(r3.Add(l.Centre(v), by))
	}
	u.Volume = float64(count) * l.Edge * l.Edge * l.Edge / (grains * grains * grains)
}

// gather takes notice of the unseen voxels whose middles piece k passes over on a
// stretch, looked at in steps of half a voxel.
func (s *sweep) gather(k int, lo, hi float64, met map[[3]int]bool) {
	mid, half := (lo+hi)/2, (hi-lo)/2
	s.place(mid)
	way := s.travel(&s.at, k, 0, s.turn, half).way
	x := &s.at.pieces[k]
	switch {
	case s.seen.freeAlong(x, way):
	case way > s.seen.lattice.Edge/4:
		s.gather(k, lo, mid, met)
		s.gather(k, mid, hi, met)
	default:
		s.seen.middles(x, func(v [3]int) { met[v] = true })
	}
}

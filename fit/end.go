package fit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// endOf is where the front ends on side d: the outer face of the side, else the
// edge of the front as the rays show it, else as far as the wall beside it or
// the inner face of the side allow.
func (s *survey) endOf(m *machine, d side) (bound, bool) {
	if g := m.outer[d]; g != nil {
		return s.fused(g), true
	}
	q := search{axis: 0, solid: 1, guess: m.extent.lo[0], reach: borderReach, from: m.extent.lo[1], to: m.extent.hi[1]}
	if d == right {
		q.solid, q.guess = -1, m.extent.hi[0]
	}
	b, ok := m.sheet.find(q)
	if !ok || !b.closed {
		return bound{}, false
	}
	if !b.open || !b.straight {
		if b, ok = s.looserEnd(m, d, q, b); !ok {
			return bound{}, false
		}
	}
	at := m.sheet.frame.Apply(r3.Vec{X: b.at, Y: (m.extent.lo[1] + m.extent.hi[1]) / 2})
	return edgeBound(m.frame.R.Apply(d.outward()), at, b.sigma), true
}

// looserEnd is an end of the front of which no stretch was seen from both sides.
func (s *survey) looserEnd(m *machine, d side, q search, b border) (border, bool) {
	q.reach = bracketReach
	if wide, ok := m.sheet.bracket(q); ok {
		return wide, true
	}
	limit, ok := s.limit(m, d)
	if ok && !b.straight {
		b.at, b.sigma = (b.at+limit)/2, max(math.Abs(limit-b.at)/math.Sqrt(12), oneSided)
	}
	return b, ok
}

// sheetMetal is the most that the outer face of a side stands outside the inner
// one, mm: a cover over a frame of tubes (common practice: 1 to 60 mm).
const sheetMetal = 60

// limit is how far out on the sheet a side may be that was not seen from
// outside: up to the wall beside it, or a cover's thickness beyond its inner
// face.
func (s *survey) limit(m *machine, d side) (float64, bool) {
	out := d.outward().Y // outward coordinates count from the middle of the front
	end := -m.extent.lo[0]
	if d == right {
		end = m.extent.hi[0]
	}
	nearest := math.Inf(1)
	for _, i := range s.everyPlane(m.frame.R.Apply(r3.Vec{Y: -out})) {
		f := &s.surfaces[i]
		lo, hi := m.box(f.Outline)
		at := out * (lo.Y + hi.Y) / 2
		if lo.X > -corner { // starts at the front: the inner face of the side
			at += sheetMetal
		}
		if f.Area > minInner && at-end > -rasterPitch && at-end < 2*sheetMetal {
			nearest = min(nearest, at)
		}
	}
	return -out * nearest, !math.IsInf(nearest, 1)
}

package fit

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// endOf is where the front ends on side d: the outer face of the side, else the
// edge of the front as the rays show it, else anywhere between what was seen of
// it and what leaves it no more room.
func (s *survey) endOf(m *machine, d side) (bound, bool) {
	if g := m.outer[d]; g != nil {
		return s.fused(g), true
	}
	q := m.endSearches()[d]
	b, ok := m.sheet.find(q)
	if m.mouth {
		b, ok = s.thinEnd(m, d, q)
	}
	if !ok || !b.closed || !b.open || !b.straight || s.fallsShort(m, d, b) {
		if b, ok = s.looserEnd(m, d, q); !ok {
			return bound{}, false
		}
	}
	at := m.sheet.frame.Apply(r3.Vec{X: b.at, Y: (m.extent.lo[1] + m.extent.hi[1]) / 2})
	return edgeBound(m.frame.R.Apply(d.outward()), at, b.sigma), true
}

// endSearches look for where the front ends on the left and on the right.
func (f *front) endSearches() [2]search {
	l := search{axis: 0, solid: 1, guess: f.extent.lo[0], reach: borderReach, from: f.extent.lo[1], to: f.extent.hi[1]}
	r := l
	r.solid, r.guess = -1, f.extent.hi[0]
	return [2]search{left: l, right: r}
}

// thinEnd is where the edge of a side ends that is the front itself: beyond its
// inner face, before the first rays that went past outside. How far these seem to
// have passed also depends on where the front is, and rays that ended on the edge
// itself seem to have passed it where the front is put too far out: those that
// went past ended further behind it than spikes on metal do, or on another surface.
func (s *survey) thinEnd(m *machine, d side, q search) (border, bool) {
	type pass struct{ beyond, slope float64 }
	inner, ok := s.innerAt(m, d)
	if !ok {
		return border{}, false
	}
	inner *= -d.outward().Y
	var past []pass
	for i := range m.sheet.rays {
		r := &m.sheet.rays[i]
		beyond := -q.solid * (r.through.X - inner)
		if r.through.Y > q.from && r.through.Y < q.to && beyond > 0 && beyond < bracketReach && r.endedBehind(spikes) {
			past = append(past, pass{beyond, math.Abs(r.through.X-r.eye.X) / r.eye.Z})
		}
	}
	if len(past) <= bracketStrays {
		return border{}, false
	}
	slices.SortFunc(past, func(a, b pass) int { return cmp.Compare(a.beyond, b.beyond) })
	first := past[bracketStrays]
	return border{
		at:     inner - q.solid*first.beyond/2,
		sigma:  math.Hypot(max(first.beyond, sheetSlack)/math.Sqrt(12), first.slope*math.Sqrt(m.face.Cov[0][0])),
		closed: true, open: true, straight: true,
	}, true
}

// innerAt is where the inner face of a side meets the front, counted outward.
func (s *survey) innerAt(m *machine, d side) (float64, bool) {
	if m.inner[d] == nil {
		return 0, false
	}
	middle := m.frame.Apply(r3.Vec{Z: m.extent.hi[1] / 2})
	return crossing(s.surfaces[m.inner[d][0]].Plane, middle, m.frame.R.Apply(d.outward())), true
}

// reach is where the front ends on side d, counted outward.
func (m *machine) reach(d side) float64 {
	return d.outward().Y * m.frame.Inverse().Apply(m.ends[d].Centre).Y
}

// holdInside holds the opening within the inner face of side d that comes up to the
// front. Rays beyond it went past outside, between the machine and what stands
// beside it: as far as they did, the edge is not known (JCGM 100:2008, 4.3.7).
func (s *survey) holdInside(m *machine, d side) {
	inner, ok := s.innerAt(m, d)
	if !ok {
		return
	}
	rim := &m.rims[0][d]
	beyond := holeEnd(m, d) - inner
	lo, _ := m.box(s.corners(m.inner[d]))
	if lo.X > corner || beyond < 3*math.Hypot(rim.sigma, offsetSigma(&s.surfaces[m.inner[d][0]]))+sheetSlack {
		return
	}
	m.outside = true
	rim.at = -d.outward().Y * inner
	rim.sigma = math.Hypot(rim.sigma, beyond/math.Sqrt(12))
	if d == right {
		m.hole.hi[0] = rim.at
	} else {
		m.hole.lo[0] = rim.at
	}
}

// fallsShort tells whether a border lies short of the opening, as far as that may
// reach, or of the inner face of its side: the front goes on behind what hides it
// there, a door leaf say.
func (s *survey) fallsShort(m *machine, d side, b border) bool {
	at := -d.outward().Y * b.at
	reach := holeEnd(m, d)
	if !m.mouth && !m.rims[0][d].closed {
		reach += bracketReach // a sliver in the front's plane, for the opening may go on beyond it
	}
	if inner, ok := s.innerAt(m, d); ok {
		reach = max(reach, inner)
	}
	return at < reach-3*b.sigma-sheetSlack
}

// holeEnd is where the opening ends on a side, counted outward.
func holeEnd(m *machine, d side) float64 {
	if d == right {
		return m.hole.hi[0]
	}
	return -m.hole.lo[0]
}

// looserEnd is an end of the front of which no stretch was seen from both sides.
func (s *survey) looserEnd(m *machine, d side, q search) (border, bool) {
	q.reach = bracketReach
	if wide, ok := m.sheet.bracket(q); ok && !s.fallsShort(m, d, wide) {
		return wide, true
	}
	least, most := s.roomFor(m, d)
	b := border{at: -d.outward().Y * (least + most) / 2, sigma: max((most-least)/math.Sqrt(12), oneSided)}
	return b, most-least < bracketReach
}

// sheetMetal is the most that the outer face of a side stands outside the inner
// one, mm: a cover over a frame of tubes (common practice: 1 to 60 mm).
const sheetMetal = 60

// roomFor bounds where the front ends on a side that was not seen from outside,
// counted outward from the middle of its frame: beyond what was seen of the front
// and of the inner face of that side, up to the wall beside it or a cover's
// thickness beyond the inner face. What stands beside the machine looks toward it
// too, but was not seen through the opening, or over the machine, or is a piece of
// that wall.
func (s *survey) roomFor(m *machine, d side) (least, most float64) {
	out := d.outward().Y
	least, most = -m.extent.lo[0], math.Inf(1)
	if d == right {
		least = m.extent.hi[0]
	}
	seen, inner := least, []float64{}
	least = max(least, holeEnd(m, d))
	middle := m.frame.Apply(r3.Vec{Z: m.extent.hi[1] / 2})
	outward := m.frame.R.Apply(r3.Vec{Y: out})
	for _, i := range s.everyPlane(r3.Scale(-1, outward)) {
		f := &s.surfaces[i]
		lo, hi := m.box(f.Outline)
		at := crossing(f.Plane, middle, outward)
		switch {
		case f.Area < minInner || at < seen-rasterPitch || hi.X < corner:
		case lo.X < -corner: // it goes on before the front: a wall
			most = min(most, max(at, least))
		case lo.Z > m.extent.hi[1]: // a wall's upper part: the machine stands before the rest
		case lo.X < m.depth && (m.within(f.Outline) || s.behindEnd(&m.front, d, f)):
			inner = append(inner, at)
		}
	}
	inner = slices.DeleteFunc(inner, func(at float64) bool { return at > most-sameOffset }) // pieces of that wall
	if len(inner) > 0 {
		at := slices.Max(inner)
		least, most = max(least, at), min(most, at+sheetMetal)
	}
	return least, max(most, least)
}

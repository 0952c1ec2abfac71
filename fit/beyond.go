package fit

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// An end of a top that was not seen still lies somewhere: beyond what was seen
// of the top, and before the first ray that went past at its height, the first
// face that looks back at it, and the length of the longest bench.

// longestTop is the greatest length of a table, mm (common practice: benches are
// made up to 3 m long; longer ones are several that stand side by side), and
// deepestTop its greatest width (common practice: 600 to 900, what one reaches
// across).
const (
	longestTop = 3000
	deepestTop = 1000
)

// most is how far a top reaches along axis a at most: one that was seen to be
// longer along the other than any is wide is at most that wide.
func (t *tabletop) most(a int) float64 {
	if t.extent.size(1-a) > deepestTop && t.extent.size(a) < deepestTop {
		return deepestTop
	}
	return longestTop
}

// settleEnds tells where each end of a top lies, whichever way it is turned of those
// that are likely. One of which no stretch was seen is where its rows leave room for
// it, else before the wall that it stands against. One that was not seen lies where the
// top was seen to end or anywhere from there to its bound, so that the root mean square
// of what it may be off is a third of the square of that (JCGM 100:2008, 4.3.7, about
// an end of the interval).
func (s *survey) settleEnds(t *tabletop) {
	turns := turnsOf(t.ends[:])
	for e := range t.ends {
		end, out := &t.ends[e], float64(2*(e%2)-1)
		if end.loose {
			s.place(t, e, turns)
		} else if end.turnSigma == 0 { // read in this frame, which may be turned
			_, _, byTurn := end.lean.place(turns)
			end.Cov[0][0] += byTurn * byTurn
		}
		if end.seen {
			at, half := r3.Dot(r3.Sub(end.Centre, t.frame.T), t.outward(e)), 0.0
			if end.loose {
				half = math.Sqrt(3 * end.Cov[0][0])
			}
			end.from, end.to = at-half, at+half
			continue
		}
		end.from = out * t.extent.edge(e/2, e%2)
		end.to = max(s.beyond(t, e, end.from), end.from)
		aslant := t.turnSigma * t.extent.size(1-e/2) / 2
		sigma := math.Hypot(max((end.to-end.from)/math.Sqrt(3), oneSided), aslant)
		end.bound = t.endAt(e, out*end.from, sigma)
	}
}

// place sets a loose end of a top where its rows leave room for it, or before the wall
// that it stands against, and tells so.
func (s *survey) place(t *tabletop, e int, turns []turn) {
	end, out, q := &t.ends[e], float64(2*(e%2)-1), t.endSearch(e)
	q.reach = bracketReach
	l := q.leanOf(t.sheet.rows(q))
	at, sigma, _ := l.place(turns)
	if end.seen = l.bounds(at); end.seen {
		end.bound = t.endAt(e, q.guess+q.solid*at, math.Hypot(max(sigma, oneSided), t.sheet.sway))
		return
	}
	seenTo := out * q.guess
	limit := s.wallBeyond(t, e, seenTo)
	if end.seen = limit < seenTo+2*sheetMetal; end.seen {
		end.bound = t.endAt(e, out*(seenTo+limit)/2, max(math.Abs(limit-seenTo)/math.Sqrt(12), oneSided))
	}
}

// beyond is how far along end e from the frame's origin the top can reach, seen
// to reach as far as from.
func (s *survey) beyond(t *tabletop, e int, from float64) float64 {
	opposite := float64(2*(e%2)-1) * t.extent.edge(e/2, 1-e%2)
	return s.passed(t, e, from, min(opposite+t.most(e/2), s.wallBeyond(t, e, from)))
}

// wallBeyond is how far along end e from the frame's origin the first face stands
// that looks back at the top where it was seen to end, or beyond, and that it cannot
// run through: a face that stands beside it and runs from below its edge to above it.
// What stands on the top ends above it, a leg below: the top runs on past either.
func (s *survey) wallBeyond(t *tabletop, e int, end float64) float64 {
	nearest, b, top := math.Inf(1), 1-e/2, s.height(t.top.Centre)
	for _, i := range s.everyPlane(r3.Scale(-1, t.outward(e))) {
		f := &s.surfaces[i]
		lo, hi := s.heights(f)
		across := projectOn(t.frame, f.Outline)
		beside := min(across.hi[b], t.extent.hi[b]) - max(across.lo[b], t.extent.lo[b])
		if x := crossing(f.Plane, t.frame.T, t.outward(e)); f.Area > minInner && x > end-rasterPitch &&
			beside > 0 && lo < top-boardTop && hi > top+boardTop {
			nearest = min(nearest, x)
		}
	}
	return nearest
}

// passed is where the first rays went past a top beyond its seen end, or limit
// where none did.
func (s *survey) passed(t *tabletop, e int, from, limit float64) float64 {
	a, out := e/2, float64(2*(e%2)-1)
	strip := t.core()
	if out > 0 {
		strip.lo[a], strip.hi[a] = from, limit
	} else {
		strip.lo[a], strip.hi[a] = -limit, -from
	}
	past := s.passing(t.frame, strip, a)
	for i := range past {
		past[i] *= out
	}
	if len(past) <= bracketStrays {
		return limit
	}
	slices.Sort(past)
	return past[robustly(len(past))]
}

// interval is what a length may be, mm.
type interval struct{ lo, hi float64 }

// size is how long the top may be along axis a.
func (t *tabletop) size(a int) interval {
	lo, hi := &t.ends[2*a], &t.ends[2*a+1]
	return interval{lo.from + hi.from, lo.to + hi.to}
}

// eitherSide is what the longer and the shorter side may be where it is open which that
// is.
func (t *tabletop) eitherSide() (long, short interval) {
	x, y := t.size(0), t.size(1)
	return interval{max(x.lo, y.lo), max(x.hi, y.hi)}, interval{min(x.lo, y.lo), min(x.hi, y.hi)}
}

// within is a measure that may be anything within an interval: its sigma is at least
// the root mean square of what it is off then, from its value to the further end
// (JCGM 100:2008, 4.3.7).
func (m Measure) within(i interval) Measure {
	m.Sigma = max(m.Sigma, max(m.Value-i.lo, i.hi-m.Value)/math.Sqrt(3))
	return m
}

// longerUnseen tells whether it is open which of the top's sides is the longer, that
// with X along it. Where no stretch of an end was seen, how likely either is does not
// count: what was seen the least of may be the longest, and a wrong guess turns the
// datum by a right angle. A top that is square as far as it was measured has none.
func (t *tabletop) longerUnseen() bool {
	if slices.ContainsFunc(t.ends[:], func(e tableEnd) bool { return e.loose }) {
		return t.size(1).hi > t.size(0).lo
	}
	variance := 0.0
	for e := range t.ends {
		variance += t.ends[e].Cov[0][0]
	}
	return math.Abs(t.size(0).lo-t.size(1).lo) < surelyLonger*math.Sqrt(variance)
}

// surelyLonger is by how many sigmas one side must be longer: one square top in 400
// then passes for longer one way.
const surelyLonger = 3

// notSeen says what of a top's rectangle was not seen.
func (t *tabletop) notSeen() (what []string) {
	for e := range t.ends {
		if !t.ends[e].seen {
			what = append(what, "where its top ends on the "+sideSeen(t.outward(e), t.top.Centre))
		}
	}
	if t.longerUnseen() {
		what = append(what, "which of its sides is the longer")
	}
	return what
}

// placed tells whether it was seen where the top is, by one end of either pair, and
// which way it runs.
func (t *tabletop) placed() bool {
	return (t.ends[0].seen || t.ends[1].seen) && (t.ends[2].seen || t.ends[3].seen) && !t.longerUnseen()
}

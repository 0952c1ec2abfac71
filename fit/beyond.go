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

// boundEnds bounds the ends of a top that were not seen. Each lies anywhere
// between its bounds (JCGM 100:2008, 4.3.7).
func (s *survey) boundEnds(t *tabletop) {
	for e := range t.ends {
		if end := &t.ends[e]; !end.seen {
			a, out := e/2, float64(2*(e%2)-1)
			end.from = out * t.extent.edge(a, e%2)
			end.to = max(s.beyond(t, e, end.from), end.from)
			var at [2]float64
			at[a], at[1-a] = out*(end.from+end.to)/2, (t.extent.lo[1-a]+t.extent.hi[1-a])/2
			sigma := max((end.to-end.from)/math.Sqrt(12), oneSided)
			end.bound = edgeBound(t.outward(e), t.frame.Apply(r3.Vec{X: at[0], Y: at[1]}), sigma)
		}
	}
}

// beyond is how far along end e from the frame's origin the top can reach, seen
// to reach as far as from.
func (s *survey) beyond(t *tabletop, e int, from float64) float64 {
	a, out := e/2, t.outward(e)
	opposite := float64(2*(e%2)-1) * t.extent.edge(a, 1-e%2)
	limit := opposite + t.most(a)
	for _, i := range s.everyPlane(r3.Scale(-1, out)) {
		f := &s.surfaces[i]
		across := projectOn(t.frame, f.Outline)
		lo, hi := s.heights(f)
		beside := min(across.hi[1-a], t.extent.hi[1-a]) - max(across.lo[1-a], t.extent.lo[1-a])
		top := s.height(t.top.Centre)
		if x := crossing(f.Plane, t.frame.T, out); f.Area > minInner && x > from-rasterPitch && beside > 0 && lo < top && hi > top {
			limit = min(limit, x)
		}
	}
	return s.passed(t, e, from, limit)
}

// passed is where the first rays went past a top beyond its seen end, or limit
// where none did.
func (s *survey) passed(t *tabletop, e int, from, limit float64) float64 {
	a, out := e/2, float64(2*(e%2)-1)
	strip := t.extent.grown(-rasterPitch)
	if out > 0 {
		strip.lo[a], strip.hi[a] = from, limit
	} else {
		strip.lo[a], strip.hi[a] = -limit, -from
	}
	var past []float64
	for _, p := range s.newSheet(t.frame, strip, t.pieces).open {
		if p.deep >= spikes {
			past = append(past, out*p.at[a])
		}
	}
	if len(past) <= bracketStrays {
		return limit
	}
	slices.Sort(past)
	return past[robustly(len(past))]
}

// deeper is the probability that what was taken for the length of a top is its
// width, by the ends that were not seen.
func (t *tabletop) deeper() float64 {
	var least, most [2]float64
	for e := range t.ends {
		end := &t.ends[e]
		at := r3.Dot(r3.Sub(end.Centre, t.frame.T), t.outward(e))
		if end.seen {
			end.from, end.to = at, at
		}
		least[e/2] += end.from
		most[e/2] += end.to
	}
	return exceeds(least[1], most[1], least[0], most[0])
}

// unsure is the probability from which on it is not said which of a top's sides
// is the longer, that with X along it.
const unsure = 0.05

// seenEnds says what of a top's rectangle was not seen: missing is what its datum
// cannot do without, open what it can. One end of a pair tells where the top is;
// the other may be left open, unless the width might then be the length.
func (t *tabletop) seenEnds() (missing, open []string) {
	side := func(e int) string { return "where its top ends on the " + sideSeen(t.outward(e), t.top.Centre) }
	for a := range 2 {
		lo, hi := &t.ends[2*a], &t.ends[2*a+1]
		switch {
		case !lo.seen && !hi.seen:
			missing = append(missing, side(2*a), side(2*a+1))
		case !lo.seen:
			open = append(open, side(2*a))
		case !hi.seen:
			open = append(open, side(2*a+1))
		}
	}
	if missing == nil && t.deeper() > unsure {
		return open, nil
	}
	return missing, open
}

// exceeds is the probability that a length anywhere from a to b is greater than
// one anywhere from c to d.
func exceeds(a, b, c, d float64) float64 {
	const steps = 100
	n := 0.0
	for i := range steps {
		x := a + (b-a)*(float64(i)+0.5)/steps
		switch {
		case x >= d:
			n++
		case x > c:
			n += (x - c) / (d - c)
		}
	}
	return n / steps
}

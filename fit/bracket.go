package fit

import (
	"math"
	"slices"
)

// bracketReach is how far beyond what was seen of a face its end is looked for,
// mm, and the widest bracket that still locates it: a sigma of 58 mm.
const bracketReach = 200

// A bracket may be contradicted by the outermost few patches, and by this share
// of them: mixed points and reflections.
const (
	bracketStrays = 3
	strayShare    = 0.05
)

// robustly is how many of n patches are passed over as strays.
func robustly(n int) int { return max(bracketStrays, int(strayShare*float64(n))) }

// strayRows is in how many of n rows strays alone may seem to have gone past: in
// their share and two standard deviations of that count.
func strayRows(n int) int {
	expected := strayShare * float64(n)
	return int(math.Ceil(expected + 2*math.Sqrt(expected)))
}

// bracket locates a straight end of which no stretch was seen from both sides:
// it lies beyond the outermost place where the face was hit, and before the
// innermost where rays went past it, wherever along the end these are. The
// uncertainty is uniform between them (JCGM 100:2008, 4.3.7).
func (s *sheet) bracket(q search) (border, bool) { return s.bracketFrom(q, s.hits(q)) }

// bracketFrom is the bracket of an end that was hit at these places, counted
// from the guess toward the closed side.
func (s *sheet) bracketFrom(q search, hit []float64) (border, bool) {
	if len(hit) <= bracketStrays {
		return border{}, false
	}
	slices.Sort(hit) // the face lies on the closed, greater side
	inner := hit[bracketStrays]
	var past []float64
	for _, x := range q.coordinates(s.open, spikes, func(lo, hi float64) float64 { return hi }) {
		if x < inner {
			past = append(past, x)
		}
	}
	if len(past) <= bracketStrays {
		return border{}, false
	}
	slices.Sort(past)
	outer := past[len(past)-1-robustly(len(past))]
	return border{
		at:     q.guess + q.solid*(inner+outer)/2,
		sigma:  math.Hypot(max((inner-outer)/math.Sqrt(12), oneSided), s.sway),
		closed: true, open: true,
	}, inner-outer < bracketReach
}

// hits are the places within reach where the face was hit, and where what stands
// before it and closes it too.
func (s *sheet) hits(q search) []float64 {
	toOpen := func(lo, hi float64) float64 { return -lo }
	out := q.coordinates(s.closed, 0, toOpen)
	if q.proud {
		out = append(out, q.coordinates(s.proud, 0, toOpen)...)
	}
	return out
}

// spikes is how far behind a face a point may lie that was measured on it, mm:
// twice what a highlight on bare metal makes of it in a triangulating scanner
// (common practice: some mm to a cm or two).
const spikes = 30

// coordinates of the patches in reach that end deep enough, counted from the guess toward the closed
// side, each moved by what off makes of its extent toward the open and the
// closed side.
func (q search) coordinates(patches []patch, deep float64, off func(lo, hi float64) float64) []float64 {
	var out []float64
	for _, p := range patches {
		along, x := p.at[1-q.axis], q.solid*(p.at[q.axis]-q.guess)
		if p.deep < deep || along < q.from || along > q.to || math.Abs(x) > q.reach {
			continue
		}
		lo, hi := p.lo[q.axis], p.hi[q.axis]
		if q.solid < 0 {
			lo, hi = hi, lo
		}
		out = append(out, x+off(lo, hi))
	}
	return out
}

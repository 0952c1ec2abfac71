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
// innermost where rays went past it, wherever along the end these are, but for
// strays on either side.
func (s *sheet) bracket(q search) (border, bool) { return s.bracketFrom(q, s.hits(q)) }

// bracketFrom is the bracket of an end that was hit at these places, counted
// from the guess toward the closed side.
func (s *sheet) bracketFrom(q search, hit []float64) (border, bool) {
	past := q.coordinates(s.open, spikes, func(lo, hi float64) float64 { return hi })
	if len(hit) == 0 || len(past) == 0 {
		return border{}, false
	}
	at, sigma := endBetween(past, hit, q.reach)
	before := func(places []float64) int { n, _ := slices.BinarySearch(places, at); return n }
	return border{
		at:     q.guess + q.solid*at,
		sigma:  math.Hypot(max(sigma, oneSided), s.sway),
		closed: true, open: true,
	}, sigma < bracketReach/math.Sqrt(12) && before(past) > bracketStrays && len(hit)-before(hit) > bracketStrays
}

// endBetween is where an end lies before which rays went past at some places and behind
// which the face was hit at others, by Bayes' rule with all places within reach alike
// likely beforehand: whatever lies on the wrong side of it is a stray, one in
// 1 / strayShare. Where none does it is uniform between the two (JCGM 100:2008, 4.3.7);
// a few stray hits before a face that many rays passed by count for as much as they
// are against those rays.
func endBetween(past, hit []float64, reach float64) (at, sigma float64) {
	slices.Sort(past)
	slices.Sort(hit)
	var places []float64
	for _, x := range slices.Concat(past, hit) {
		places = append(places, min(max(x, -reach), reach))
	}
	places = append(places, -reach, reach)
	slices.Sort(places)
	wrong, least := make([]int, len(places)-1), math.MaxInt
	for i := range wrong {
		hits, _ := slices.BinarySearch(hit, places[i+1]) // of what lies before the stretch from i on
		rays, _ := slices.BinarySearch(past, places[i+1])
		wrong[i] = hits + len(past) - rays
		if places[i+1] > places[i] {
			least = min(least, wrong[i])
		}
	}
	var sum, first, second float64
	for i, n := range wrong {
		lo, hi := places[i], places[i+1]
		w := (hi - lo) * math.Pow(strayShare, float64(n-least))
		sum, first, second = sum+w, first+w*(lo+hi)/2, second+w*(lo*lo+lo*hi+hi*hi)/3
	}
	at = first / sum
	return at, math.Sqrt(max(second/sum-at*at, 0))
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

package fit

import (
	"maps"
	"math"
	"slices"
)

// sweeps is what each scan saw of the closed side of a border.
type sweeps map[int32]*sweepRows

// sweepRows is the first closed place in each row, +Inf where none, and how far
// apart the points near the border are.
type sweepRows struct {
	closed  []float64
	spacing []float64
}

// of is what a scan saw in n rows.
func (s sweeps) of(scan int32, n int) *sweepRows {
	if s[scan] == nil {
		s[scan] = &sweepRows{closed: slices.Repeat([]float64{math.Inf(1)}, n)}
	}
	return s[scan]
}

func (s *sweepRows) add(row int, closed, spacing float64) {
	s.closed[row] = min(s.closed[row], closed)
	s.spacing = append(s.spacing, spacing)
}

// forget leaves a row out that does not bound the border from both sides.
func (s sweeps) forget(row int) {
	for _, one := range s {
		one.closed[row] = math.Inf(1)
	}
}

// spacing is the median spacing of all points near the border, 0 of none.
func (s sweeps) spacing() float64 {
	var all []float64
	for _, one := range s {
		all = append(all, one.spacing...)
	}
	if all == nil {
		return 0
	}
	return median(all)
}

// minSweepRows is the least number of rows by which a scan has a say in how far
// its profiles swept over a border: a first and a last decile need some.
const minSweepRows = 6

// unswept is by how much the scan that came closest to the border may still be
// short of it. The profiles of one sweep cross a border in step, up to their
// pitch short of it, unless they cross it at a slant: then their rows run through
// that range, and the best of them close in on the border. pitch is in mean
// spacings.
func (s sweeps) unswept(pitch float64) float64 {
	nearest, left := math.Inf(1), pitch*s.spacing()
	for _, scan := range slices.Sorted(maps.Keys(s)) {
		one := s[scan]
		closed := slices.DeleteFunc(slices.Clone(one.closed), func(x float64) bool { return math.IsInf(x, 1) })
		if len(closed) < minSweepRows {
			continue
		}
		if best := quantile(closed, 0.1); best < nearest {
			nearest, left = best, max(pitch*median(one.spacing)-swept(closed), 0)
		}
	}
	return left
}

// swept is the range through which rows run: as the outer deciles tell, and as
// the better half of them does, for a few rows may be hidden or miss a point.
func swept(closed []float64) float64 {
	best := quantile(closed, 0.1)
	return min((quantile(closed, 0.9)-best)/0.8, (quantile(closed, 0.5)-best)/0.4)
}

// deepestRim is how far before the edge of an opening rays may end on its rim and
// not come back, mm: a lip of 50 mm (common practice: 15 to 50) at the angle of
// incidence at which returns begin to fail.
const deepestRim = 25

// rimNoise is how well the best rows tell the edge that they reach, in mean
// spacings of the points: the extent of a voxel's points is known to that.
const rimNoise = 0.1

// lastBefore is where the last rays went past a border, by the rows in which
// they stayed before the face: the others have a stray. -Inf where too few did.
func lastBefore(open, closed []float64) float64 {
	var past []float64
	for i, x := range open {
		if x < closed[i] {
			past = append(past, x)
		}
	}
	if len(past) < minRows {
		return math.Inf(-1)
	}
	return quantile(past, 0.9)
}

// widestPitch is the pitch of profiles in mean spacings where they are nine times
// as far from each other as the points of one: a fast sweep of a fine line.
const widestPitch = 3

// atRim is the edge of an opening. The rays past it that come back end short of
// it, for its rim, a sheet's thickness or a lip, takes the first of them; of
// those, some come back from the border itself. So the edge lies at the first
// closed points or, where the profiles do not sweep over it, up to what they left
// before these, uniformly (JCGM 100:2008, 4.3.7), but not before the last rays.
func (q search) atRim(past float64, closed []float64, seen sweeps) (at, sigma float64) {
	first, spacing := quantile(closed, 0.1), seen.spacing()
	left, most := 0.0, 0.0
	switch {
	case first-past > q.pitch()*spacing+deepestRim && !math.IsInf(past, -1): // no rim explains that gap: nobody looked there
		left, most = first-past, first-past
	case !q.level: // a level rim is crossed by every profile, and by some on its very edge
		left, most = seen.unswept(q.pitch()), seen.unswept(widestPitch)
	}
	if past < first {
		left, most = min(left, first-past), min(most, first-past)
	}
	return first - left/2, math.Hypot(math.Hypot(most/math.Sqrt(12), rimNoise*spacing), swept(closed)/20)
}

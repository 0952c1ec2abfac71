package fit

import (
	"cmp"
	"math"
	"slices"
)

// sweeps is what each scan saw of the closed side of a border.
type sweeps map[int32]*sweepRows

// sweepRows is the first closed place in each row, +Inf where none, and how far
// apart the points near the border are.
type sweepRows struct {
	closed  []float64
	vague   []float64 // by how much they may be closed before that
	spacing []float64
	blur    []float64 // what noise moves them by across it, one sigma
	spans   []crosswise
}

// crosswise is how far the points of one voxel reach across the border, in its row.
type crosswise struct {
	row    int
	lo, hi float64
}

// of is what a scan saw in n rows.
func (s sweeps) of(scan int32, n int) *sweepRows {
	if s[scan] == nil {
		s[scan] = &sweepRows{closed: slices.Repeat([]float64{math.Inf(1)}, n), vague: make([]float64, n)}
	}
	return s[scan]
}

func (s *sweepRows) add(row int, closed, end, vague float64, p *patch) {
	if closed < s.closed[row] {
		s.closed[row], s.vague[row] = closed, vague
	}
	s.spacing = append(s.spacing, p.spacing)
	s.blur = append(s.blur, p.blur)
	s.spans = append(s.spans, crosswise{row, closed, end})
}

// pitch is how far apart the scan's profiles are across the border: of the gaps
// between neighbours in a row, the one that half of the way lies in gaps as wide
// as, so that the many short ones between points of one profile count for little.
func (s *sweepRows) pitch() float64 {
	slices.SortFunc(s.spans, func(a, b crosswise) int {
		return cmp.Or(cmp.Compare(a.row, b.row), cmp.Compare(a.lo, b.lo), cmp.Compare(a.hi, b.hi))
	})
	var gaps []float64
	way, end := 0.0, math.Inf(-1)
	for i, x := range s.spans {
		if i == 0 || x.row != s.spans[i-1].row {
			end = x.hi
			continue
		}
		if gap := x.lo - end; gap > 0 {
			gaps, way = append(gaps, gap), way+gap
		}
		end = max(end, x.hi)
	}
	slices.Sort(gaps)
	part := 0.0
	for _, g := range gaps {
		if part += g; part >= way/2 {
			return g
		}
	}
	return 0
}

// forget leaves a row out that does not bound the border from both sides.
func (s sweeps) forget(row int) {
	for _, one := range s {
		one.closed[row] = math.Inf(1)
	}
}

// only is what was seen in some rows.
func (s sweeps) only(rows []int) sweeps {
	out := sweeps{}
	for scan, one := range s {
		part := &sweepRows{closed: slices.Repeat([]float64{math.Inf(1)}, len(one.closed)), vague: one.vague, spacing: one.spacing, blur: one.blur}
		for _, i := range rows {
			part.closed[i] = one.closed[i]
		}
		for _, x := range one.spans {
			if slices.Contains(rows, x.row) {
				part.spans = append(part.spans, x)
			}
		}
		out[scan] = part
	}
	return out
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

// atRim is the edge of an opening. The rays past it that come back end short of
// it, for its rim, a sheet's thickness or a lip, takes the first of them; of
// those, some come back from the border itself. A level rim is crossed by every
// profile, and by some on its very edge: it lies at the first closed points. An
// upright one lies where the nearest profiles of all scans leave room for it.
func (q search) atRim(past float64, closed []float64, seen sweeps, vague float64) (at, sigma float64) {
	spacing := seen.spacing()
	together := fromAgreed(closed, spacing)
	first := quantile(together, 0.1)
	if first-past > q.pitch()*spacing+deepestRim && !math.IsInf(past, -1) { // no rim explains that gap: nobody looked there
		return (first + past) / 2, math.Hypot((first-past)/math.Sqrt(12), rimNoise*spacing)
	}
	if scans := seen.nearest(q.pitch()); !q.level && len(scans) > 0 {
		return passedOver(scans, past, spacing)
	}
	least := first - vague
	if single := reaching(closed, together[0], spacing); single < together[0] {
		least = min(least, single)
	}
	return (least + first) / 2, math.Hypot((first-least)/math.Sqrt(12), math.Hypot(rimNoise*spacing, swept(together)/20))
}

// passedOver is the upright edge before which the rays went past, known to a spacing.
// Where these passed over points that rows agree on, the edge bends or what closes
// the opening stands off the sheet, and it is known to that (JCGM 100:2008, 4.3.7).
func passedOver(scans []nearest, past, spacing float64) (at, sigma float64) {
	at, sigma = edgeOf(scans, past-spacing, true)
	foremost := slices.MinFunc(scans, func(a, b nearest) int { return cmp.Compare(a.at, b.at) })
	if foremost.rows > 1 && foremost.at+3*foremost.noise < past-spacing {
		at, sigma = (foremost.at+past)/2, math.Hypot(sigma, (past-foremost.at)/math.Sqrt(12))
	}
	return at, sigma
}

// rimTogether is how near to each other rows tell the same edge, in mean spacings
// of the points: three standard deviations of either.
const rimTogether = 3 * rimNoise

// fromAgreed leaves out the rows that are likely strays and spikes before the edge,
// by maximum likelihood: that many strays come first, then a share of the rows lies
// together on the edge, the rest anywhere behind it. It sorts the rows.
func fromAgreed(closed []float64, spacing float64) []float64 {
	slices.Sort(closed)
	first, most := 0, math.Inf(-1)
	for i := range closed[:(len(closed)+1)/2] {
		behind, together := float64(len(closed)-i), float64(agreed(closed[i:], spacing))
		likely := float64(i)*math.Log(strayShare) + together*math.Log(together/behind*borderReach/(rimTogether*spacing))
		if rest := behind - together; rest > 0 {
			likely += rest * math.Log(rest/behind)
		}
		if likely > most {
			first, most = i, likely
		}
	}
	return closed[first:]
}

// reaching is how far before an edge on which rows agree single rows reach that are
// no strays: one by one no further apart than points may be. The points of rows in
// step end short of an edge together.
func reaching(closed []float64, edge, spacing float64) float64 {
	for _, x := range slices.Backward(closed) {
		if x < edge && edge-x <= missedOne*spacing {
			edge = x
		}
	}
	return edge
}

// missedOne is how far apart points of a row are where one between them may have
// failed, in mean spacings.
const missedOne = 2

// agreed is how many of the sorted rows tell the same edge as the first.
func agreed(closed []float64, spacing float64) int {
	n := 0
	for n < len(closed) && closed[n]-closed[0] <= rimTogether*spacing {
		n++
	}
	return n
}

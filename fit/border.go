package fit

import (
	"math"
	"slices"
)

// border is a straight border on a sheet, across one axis, between what is
// closed and what is open. at and sigma in mm; sigma is uniform over the gap
// that neither side reaches (JCGM 100:2008, 4.3.7) plus the scatter along it.
type border struct {
	at, sigma    float64
	closed, open bool // which sides gave evidence
}

// search says where to look for a border: across axis, within reach of guess,
// along from..to on the other axis. solid is +1 where the closed side is the
// one with the greater coordinate, -1 where it is the other.
type search struct {
	axis     int
	solid    float64
	guess    float64
	reach    float64
	from, to float64
}

// rowPitch is how finely a border is cut into rows that are read one by one, so
// that no single stray ray moves it, mm: a few point spacings at 1 to 2 m.
const rowPitch = 20

// minRows is the least number of rows that make a border: a median needs three.
const minRows = 3

// find reads the border in rows. In each row the last place that is certainly
// open and the first that is certainly closed enclose it.
func (s *sheet) find(q search) (border, bool) {
	n := int((q.to - q.from) / rowPitch)
	if n < minRows {
		return border{}, false
	}
	open, closed := make([]float64, n), make([]float64, n)
	for i := range n {
		open[i], closed[i] = math.Inf(-1), math.Inf(1)
	}
	q.each(s.open, n, func(row int, x, half float64) { open[row] = max(open[row], x+half) })
	q.each(s.closed, n, func(row int, x, half float64) { closed[row] = min(closed[row], x-half) })
	return q.between(open, closed)
}

// each hands the patches in reach to do, with their place counted from open
// toward closed.
func (q search) each(patches []patch, n int, do func(row int, x, half float64)) {
	for _, p := range patches {
		row := int(math.Floor((p.at[1-q.axis] - q.from) / rowPitch))
		x := q.solid * (p.at[q.axis] - q.guess)
		if row >= 0 && row < n && math.Abs(x) <= q.reach {
			do(row, x, p.half[q.axis])
		}
	}
}

// between makes the border of the rows that both sides bound; where those are
// too few, of the rows that one side bounds.
func (q search) between(open, closed []float64) (border, bool) {
	var mid, gap, last, first []float64
	for i := range open {
		hasOpen, hasClosed := !math.IsInf(open[i], 0), !math.IsInf(closed[i], 0)
		if hasOpen && hasClosed {
			mid = append(mid, (open[i]+closed[i])/2)
			gap = append(gap, closed[i]-open[i])
		}
		if hasOpen {
			last = append(last, open[i])
		}
		if hasClosed {
			first = append(first, closed[i])
		}
	}
	switch {
	case len(mid) >= minRows:
		g := max(median(gap), 0)
		return q.border(mid, g/math.Sqrt(12), true, true), true
	case len(first) >= minRows:
		return q.border(first, oneSided, true, false), true
	case len(last) >= minRows:
		return q.border(last, oneSided, false, true), true
	}
	return border{}, false
}

// oneSided is the standard uncertainty of a border that only one side bounds,
// mm: the other may begin one to three point spacings on, for points at a jump
// in depth are dropped as mixed; a spacing is 2 to 4 mm at 1 to 2 m.
const oneSided = 5.0

func (q search) border(rows []float64, sigma float64, closed, open bool) border {
	m, spread := medianSpread(rows)
	scatter := spread * medianLoss / math.Sqrt(float64(len(rows)))
	return border{at: q.guess + q.solid*m, sigma: math.Hypot(sigma, scatter), closed: closed, open: open}
}

// medianLoss is the standard error of a median over that of a mean, for normal
// data: sqrt(pi/2).
const medianLoss = 1.2533

// median of a non-empty slice, which is sorted by it.
func median(x []float64) float64 {
	slices.Sort(x)
	n := len(x)
	return (x[(n-1)/2] + x[n/2]) / 2
}

// medianSpread is the median and the standard deviation that the median
// absolute deviation stands for (factor 1.4826 for normal data).
func medianSpread(x []float64) (m, sigma float64) {
	m = median(x)
	dev := make([]float64, len(x))
	for i := range x {
		dev[i] = math.Abs(x[i] - m)
	}
	return m, 1.4826 * median(dev)
}

package fit

import "math"

// border is a straight border on a sheet, across one axis, between what is
// closed and what is open. at and sigma in mm; sigma is uniform over the gap
// that neither side reaches (JCGM 100:2008, 4.3.7) plus the scatter along it.
type border struct {
	at, sigma         float64
	slope, slopeSigma float64 // how at changes along the other axis
	closed, open      bool    // which sides gave evidence
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
	proud    bool // what stands before the sheet closes it too
}

// rowPitch is how finely a border is cut into rows that are read one by one, so
// that no single stray ray moves it, mm: a few point spacings at 1 to 2 m.
const rowPitch = 20

// minRows is the least number of rows that make a border: a median needs three.
const minRows = 3

// row is a strip across a border, at along on the other axis, with the last place
// that is certainly open and the first that is certainly closed, both counted
// from the guess toward the closed side, and the spacing of the closed points.
type row struct{ along, open, closed, spacing float64 }

func (r row) hasOpen() bool   { return !math.IsInf(r.open, 0) }
func (r row) hasClosed() bool { return !math.IsInf(r.closed, 0) }

// find reads the border in rows: in each, open and closed enclose it.
func (s *sheet) find(q search) (border, bool) {
	n := int((q.to - q.from) / rowPitch)
	if n < minRows {
		return border{}, false
	}
	rows := make([]row, n)
	for i := range rows {
		rows[i] = row{along: q.from + (float64(i)+0.5)*rowPitch, open: math.Inf(-1), closed: math.Inf(1)}
	}
	q.each(s.open, rows, func(r *row, x, lo, hi, spacing float64) { r.open = max(r.open, x+hi) })
	closed := func(r *row, x, lo, hi, spacing float64) {
		if x-lo < r.closed {
			r.closed, r.spacing = x-lo, spacing
		}
	}
	q.each(s.closed, rows, closed)
	if q.proud {
		q.each(s.proud, rows, func(r *row, x, lo, hi, spacing float64) {
			if x > r.open { // else a bar before the opening, past which rays went
				closed(r, x, lo, hi, spacing)
			}
		})
	}
	return q.between(rows)
}

// each hands the patches in reach to do: their place counted from the guess
// toward the closed side, their extent toward the open and the closed side.
func (q search) each(patches []patch, rows []row, do func(r *row, x, lo, hi, spacing float64)) {
	for _, p := range patches {
		i := int(math.Floor((p.at[1-q.axis] - q.from) / rowPitch))
		x := q.solid * (p.at[q.axis] - q.guess)
		if i < 0 || i >= len(rows) || math.Abs(x) > q.reach {
			continue
		}
		lo, hi := p.lo[q.axis], p.hi[q.axis]
		if q.solid < 0 {
			lo, hi = hi, lo
		}
		do(&rows[i], x, lo, hi, p.spacing)
	}
}

// between makes the border of the rows that both sides bound; where those are
// too few, of the rows that one side bounds.
//
// The border lies between open and closed. Half-way is best where only the
// points' spacing keeps them apart. Where open stays further off, something
// stands behind the border in the rays' way (a lip, the thickness of the sheet)
// and nothing of it came back; then the border is where the points on the sheet
// end, which is within about a spacing.
func (q search) between(rows []row) (border, bool) {
	var both, closed, open line
	var doubt []float64
	for _, r := range rows {
		if r.hasOpen() && r.hasClosed() {
			short := min((r.closed-r.open)/2, edgeSpacings*r.spacing)
			both.add(r.along, r.closed-short)
			doubt = append(doubt, max(short, 0))
		}
		if r.hasClosed() {
			closed.add(r.along, r.closed)
		}
		if r.hasOpen() {
			open.add(r.along, r.open)
		}
	}
	switch {
	case both.len() >= minRows:
		return q.border(both, 2*median(doubt)/math.Sqrt(12), true, true), true
	case closed.len() >= minRows:
		return q.border(closed, oneSided, true, false), true
	case open.len() >= minRows:
		return q.border(open, oneSided, false, true), true
	}
	return border{}, false
}

// edgeSpacings is how many mean spacings before a border the last point on the
// sheet lies at most: a profile is two to three times as far from the next as
// its points are from each other, which is 1.4 to 1.7 mean spacings, and half of
// that is expected.
const edgeSpacings = 0.8

// oneSided is the standard uncertainty of a border that only one side bounds,
// mm: the other may begin one to three point spacings on, for points at a jump
// in depth are dropped as mixed; a spacing is 2 to 4 mm at 1 to 2 m.
const oneSided = 5.0

// border of the line through the rows. Rows that scatter do so in step, as the
// profiles cross the border, so their number does not help: half the scatter
// stays.
func (q search) border(l line, sigma float64, closed, open bool) border {
	f := l.fit()
	return border{
		at: q.guess + q.solid*f.at, sigma: math.Hypot(sigma, f.spread/2),
		slope: q.solid * f.slope, slopeSigma: f.slopeSigma,
		closed: closed, open: open,
	}
}

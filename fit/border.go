package fit

import (
	"math"
	"slices"
)

// border is a straight border on a sheet, across one axis, between what is
// closed and what is open. at and sigma in mm.
type border struct {
	at, sigma         float64
	slope, slopeSigma float64 // how at changes along the other axis
	closed, open      bool    // which sides gave evidence
	straight          bool    // the evidence runs straight along a good part of it
	stepped           bool    // along a part of it something before the sheet reaches further
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
	level    bool // it runs level on an upright face
	lip      bool // a lip behind the border may take the first rays past it
	board    bool // a board ends there: what ended just behind the sheet before its first point in a row is its edge, for noise and spikes lie behind the face itself
}

// rowPitch is how finely a border is cut into rows that are read one by one, so
// that no single stray ray moves it, mm: a few point spacings at 1 to 2 m.
const rowPitch = 20

// minRows is the least number of rows that make a border: a median needs three.
const minRows = 3

// row is a strip across a border, at along on the other axis, with the last place
// that is certainly open and the first that is certainly closed, both counted
// from the guess toward the closed side, by how much it may be closed before that,
// and how squarely that place was seen.
type row struct {
	along, open, closed, vague, facing float64
	proud                              bool // what stands before the sheet closes it first
}

func (r row) hasOpen() bool   { return !math.IsInf(r.open, 0) }
func (r row) hasClosed() bool { return !math.IsInf(r.closed, 0) }

// find reads the border in rows: in each, open and closed enclose it.
func (s *sheet) find(q search) (border, bool) {
	return s.borderOf(q, s.rows(q))
}

// borderOf is the border between what bounds its rows.
func (s *sheet) borderOf(q search, r rows) (border, bool) {
	if len(r.all) < minRows {
		return border{}, false
	}
	b, ok := q.between(r.all, r.seen)
	b.sigma = math.Hypot(b.sigma, s.sway)
	return b, ok
}

// rows are those of a border, with what each scan saw in them.
type rows struct {
	all  []row
	seen sweeps
}

// rows reads what bounds a border, row by row.
func (s *sheet) rows(q search) rows {
	past, behind := s.openNear(q)
	out := s.rowsOf(q, past)
	if q.board {
		q.each(behind, out.all, func(r *row, _ int, x, lo, hi float64, _ *patch) {
			if r.hasClosed() && x+hi < r.closed {
				r.open = max(r.open, x+hi)
			}
		})
	}
	return out
}

// rowsOf is the same where rays went past in these patches.
func (s *sheet) rowsOf(q search, past []patch) rows {
	n := max(int((q.to-q.from)/rowPitch), 0)
	all := make([]row, n)
	for i := range all {
		all[i] = row{along: q.from + (float64(i)+0.5)*rowPitch, open: math.Inf(-1), closed: math.Inf(1)}
	}
	q.each(past, all, func(r *row, _ int, x, lo, hi float64, _ *patch) { r.open = max(r.open, x+hi) })
	seen := sweeps{}
	closed := func(r *row, i int, x, lo, hi float64, p *patch) {
		vague := min(p.vague[q.axis], lo)
		from := x - lo + vague
		seen.of(p.scan, n).add(i, from, x+hi, vague, p)
		if from < r.closed {
			r.closed, r.vague, r.facing = from, vague, p.facing
		}
	}
	q.each(s.closed, all, closed)
	if q.lip {
		q.each(s.rims, all, closed)
	}
	if q.proud {
		q.each(s.proud, all, func(r *row, i int, x, lo, hi float64, p *patch) {
			if x > r.open { // else a bar before the opening, past which rays went
				sheet := r.closed
				closed(r, i, x, lo, hi, p)
				r.proud = r.proud || r.closed < sheet
			}
		})
	}
	return rows{all, seen}
}

// openNear are the rays in reach of a border, as far as they really spread. Where
// no lip is expected, what ended just behind the sheet is noise and spikes.
func (s *sheet) openNear(q search) (past, behind []patch) {
	least := float64(spikes)
	if q.lip {
		least = 0
	}
	var near, shallow []*ray
	for i, p := range s.open {
		along, x := p.at[1-q.axis], p.at[q.axis]-q.guess
		switch deep := s.rays[i].endedBehind(least); {
		case along < q.from || along > q.to || math.Abs(x) > q.reach:
		case deep:
			near = append(near, &s.rays[i])
		default:
			shallow = append(shallow, &s.rays[i])
		}
	}
	return spreadOut(near, s.frame), spreadOut(shallow, s.frame)
}

// each hands the patches in reach to do: their place counted from the guess
// toward the closed side, their extent toward the open and the closed side.
func (q search) each(patches []patch, rows []row, do func(r *row, i int, x, lo, hi float64, p *patch)) {
	for k := range patches {
		p := &patches[k]
		i := int(math.Floor((p.at[1-q.axis] - q.from) / rowPitch))
		x := q.solid * (p.at[q.axis] - q.guess)
		if i < 0 || i >= len(rows) || math.Abs(x) > q.reach {
			continue
		}
		lo, hi := p.lo[q.axis], p.hi[q.axis]
		if q.solid < 0 {
			lo, hi = hi, lo
		}
		do(&rows[i], i, x, lo, hi, p)
	}
}

// between makes the border of the rows that both sides bound; where those are
// too few, of the rows that one side bounds.
func (q search) between(rows []row, seen sweeps) (border, bool) {
	var both, closed, open line
	var facing, past, gap, vague []float64
	pitch := q.pitch() * seen.spacing()
	for i, r := range rows {
		if !r.hasOpen() || !r.hasClosed() || r.open >= r.closed+pitch {
			seen.forget(i)
		} else {
			both.add(r.along, r.closed)
			past = append(past, r.open)
			facing = append(facing, r.facing)
			gap = append(gap, max(r.closed-r.open, 0))
			vague = append(vague, r.vague)
		}
		if r.hasClosed() {
			closed.add(r.along, r.closed)
		}
		if r.hasOpen() {
			open.add(r.along, r.open)
		}
	}
	switch {
	case both.len() >= max(minRows, strayRows(closed.len())):
		at, sigma := q.weigh(past, slices.Clone(both.across), seen, median(gap), median(vague), median(facing) < grazing)
		b := q.border(both, at, sigma, true, true)
		if q.proud && !q.level {
			b = q.stepped(b, rows, seen)
		}
		return b, true
	case closed.len() >= minRows:
		at := quantile(slices.Clone(closed.across), 0.1)
		return q.border(closed, at, math.Hypot(closed.spread(), oneSided), true, false), true
	case open.len() >= minRows:
		at := quantile(slices.Clone(open.across), 0.9)
		return q.border(open, at, math.Hypot(open.spread(), oneSided), false, true), true
	}
	return border{}, false
}

// weigh chooses between the two sides of a border, gap apart in most rows. At a grazing angle little
// came back from the face, and the rays past it tell. The edge of an opening has
// a rim, which takes the first rays past it and sends points back from the border
// itself: there the closed side tells. Else it is half-way.
func (q search) weigh(open, closed []float64, seen sweeps, gap, vague float64, isGrazing bool) (at, sigma float64) {
	switch {
	case q.lip:
		return q.atRim(lastBefore(open, closed), closed, seen, vague)
	case isGrazing:
		for i := range open {
			open[i] = -open[i]
		}
		at, sigma = last(open, min(gap, seen.spacing()))
		return onFaceAt(-at, sigma, quantile(closed, 0.1))
	}
	at, sigma = halfWay(open, closed)
	if scans := seen.nearest(q.pitch()); !q.level && len(scans) > 0 { // the profiles leave as much open, however near the rays seem
		_, left := edgeOf(scans, lastBefore(open, closed)-seen.spacing(), false)
		sigma = max(sigma, left)
	}
	return at, sigma
}

// onFaceAt holds a border that the rays past it tell against the first points on
// the face, which prove that it reaches there. At a grazing angle the height of
// what a ray hit, behind the border, moves its place on the face by several times
// as much, so it may seem to pass over points of the face. By how much it does
// says how far off the rays' places are (JCGM 100:2008, 4.3.7).
func onFaceAt(at, sigma, first float64) (float64, float64) {
	if at <= first {
		return at, sigma
	}
	return first, math.Hypot(sigma, (at-first)/math.Sqrt(12))
}

// grazing is the cosine of the angle of incidence beyond which returns begin to
// fail: 65 degrees (common practice: 60 to 70).
const grazing = 0.42

// halfWay is the border between the last rays past it and the first points on
// the face, row by row. Either lies short of it by anything up to a pitch; where
// the profiles cross the border at a slant, the rows run through that range and
// the best of them, the tenth percentile from either side, close in on it. What
// they leave is uniform (JCGM 100:2008, 4.3.7), and a percentile of the n rows in
// step is itself known to a tenth of their range.
func halfWay(open, closed []float64) (at, sigma float64) {
	from, to := quantile(open, 0.9), quantile(closed, 0.1)
	swept := (from - quantile(open, 0.1) + quantile(closed, 0.9) - to) / 0.8
	return (from + to) / 2, math.Hypot((to-from)/math.Sqrt(12), swept/20)
}

// last is where the points of one side end by themselves. In each row the last
// point lies short of the border by up to the pitch mm of the profiles. Where the
// rows run through that range the best of them reach the border; where they do
// not, all are short by one amount, half of the rest on average.
func last(closed []float64, pitch float64) (at, sigma float64) {
	best, worst := quantile(closed, 0.1), quantile(closed, 0.9)
	swept := (worst - best) / 0.8
	left := max(pitch-swept, 0)
	return best - left/2, math.Hypot(left/math.Sqrt(12), swept/10)
}

// pitch is how many mean point spacings a border may hide. Profiles are two to
// four times as far from each other as the points of one, which makes 1.4 to 2
// mean spacings. A scanner that swings about an upright axis draws upright
// profiles, so across a level border on an upright face the points of one profile
// follow each other: 0.6 to 0.7 spacings, and one point more that is dropped at
// the jump in depth.
func (q search) pitch() float64 {
	if q.level {
		return 1.2
	}
	return 1.8
}

// oneSided is the standard uncertainty of a border that only one side bounds,
// mm: the other may begin one to three point spacings on, for points at a jump
// in depth are dropped as mixed; a spacing is 2 to 4 mm at 1 to 2 m.
const oneSided = 5.0

// A face that ends in a straight line, along a good part of it and square to the
// sheet's axes, ends there: what was not scanned ends in an arc, what something
// hides ends at a slant.
const (
	straightShare = 0.3
	straightSlope = 0.02
)

// border at the place counted from the guess. Its rows step or ramp with the
// profiles that cross it, so the slope is known to the pitch over the length.
func (q search) border(l line, at, sigma float64, closed, open bool) border {
	slope := l.slope()
	return border{
		at: q.guess + q.solid*at, sigma: sigma,
		slope: q.solid * slope, slopeSigma: math.Sqrt(12) * max(sigma, l.spread()) / max(l.length(), rowPitch),
		closed: closed, open: open,
		straight: l.spread() < 2*oneSided && l.length() > straightShare*(q.to-q.from) && math.Abs(slope) < straightSlope,
	}
}

package fit

import "math"

// stepped is the upright edge b of an opening, less well known where it has a step:
// where something that stands before the sheet reaches into the opening along a part
// of the edge, and along the rest rays went past beyond that, up to the sheet's own
// edge. Either may be called the edge: it is anywhere between (JCGM 100:2008, 4.3.7).
func (q search) stepped(b border, rows []row, seen sweeps) border {
	before, ok := q.partOf(rows, seen, true)
	own, found := q.partOf(rows, seen, false)
	if !ok || !found || own.past < before.at+3*before.sigma || own.at-before.at < 3*math.Hypot(before.sigma, own.sigma) {
		return b
	}
	b.at = q.guess + q.solid*(before.at+own.at)/2
	b.sigma = math.Sqrt((before.sigma*before.sigma+own.sigma*own.sigma)/2 + (own.at-before.at)*(own.at-before.at)/12)
	b.stepped = true
	return b
}

// part is what some rows of an edge tell of it, counted from the guess.
type part struct{ at, sigma, past float64 }

// partOf reads the edge by the rows that something before the sheet closes, or by the
// others alone.
func (q search) partOf(rows []row, seen sweeps, proud bool) (part, bool) {
	var open, closed []float64
	var those []int
	for i, r := range rows {
		if r.proud == proud && r.hasOpen() && r.hasClosed() {
			open, closed, those = append(open, r.open), append(closed, r.closed), append(those, i)
		}
	}
	some := seen.only(those)
	scans := some.nearest(q.pitch())
	if len(scans) == 0 {
		return part{}, false
	}
	p := part{past: lastBefore(open, closed)}
	p.at, p.sigma = edgeOf(scans, p.past-some.spacing(), true)
	return p, true
}

package fit

import "math"

// lean is what the rows of a top's end tell of how the top is turned. In each row
// the end lies beyond the last ray that went past and before the first point on the
// top, whatever hides the rest of it: every line that runs so fits, and a turn is
// the likelier the more of them do (Bayes' rule with all places of the end alike
// likely beforehand).
type lean struct {
	rows  []row
	sense float64 // by how much the end moves toward the top, per mm along it and rad of the turn
	soft  float64 // how far a row's bounds may lie beyond the end, mm
	reach float64 // how far about its guess the end was looked for, mm
}

// A row may be wrong, by a stray ray or a piece of something else, as often as
// wrongRow. Turns are weighed in steps of turnStep, up to mostTurn either way: by
// more the least rectangle about what was seen is not off where its ends tell
// anything.
const (
	wrongRow = 0.05
	leanStep = 1.0 // mm
	turnStep = math.Pi / 180 / 20
	mostTurn = 5 * math.Pi / 180
)

// leanOf is what the rows of the end that q looks for tell.
func (q search) leanOf(of rows) *lean {
	l := &lean{soft: max(of.seen.spacing(), leanStep), reach: q.reach, sense: -q.solid}
	if q.axis == 1 {
		l.sense = q.solid
	}
	middle := (q.from + q.to) / 2
	for _, r := range of.all {
		if r.hasOpen() || r.hasClosed() {
			r.along -= middle
			l.rows = append(l.rows, r)
		}
	}
	return l
}

// likely is how likely the rows are if the top is turned by turn against its frame,
// but for a factor that all turns share.
func (l *lean) likely(turn float64) float64 {
	sum := 0.0
	for at := -l.reach; at <= l.reach; at += leanStep {
		sum += l.likelyAt(at, turn)
	}
	return sum
}

// likelyAt is the same where the end lies at mm from its guess, toward the top.
func (l *lean) likelyAt(at, turn float64) float64 {
	p := 1.0
	for i := range l.rows {
		r := &l.rows[i]
		x := at + l.sense*turn*r.along
		p *= wrongRow + (1-wrongRow)*ramp(x-r.open, l.soft)*ramp(r.closed-x, l.soft)
	}
	return p
}

// runs tells whether rows along a good part of the end, bounded from either side,
// leave room for one line in the frame that was turned to them. What hides a top at a
// slant leaves room for none, and tells nothing of how the top is turned.
func (l *lean) runs() bool {
	at, _ := l.best()
	n := 0
	for _, r := range l.rows {
		if r.hasOpen() && r.hasClosed() && r.open < at+l.soft && r.closed > at-l.soft {
			n++
		}
	}
	return n >= minRows && float64(n) >= straightShare*float64(len(l.rows))
}

// best is where in its frame the end most likely lies, and how likely the rows are then.
func (l *lean) best() (at, likely float64) {
	for x := -l.reach; x <= l.reach; x += leanStep {
		if p := l.likelyAt(x, 0); p > likely {
			at, likely = x, p
		}
	}
	return at, likely
}

// ramp is 1 where d is more than soft, 0 where it is less than -soft.
func ramp(d, soft float64) float64 {
	return min(max((d+soft)/(2*soft), 0), 1)
}

// turn is one way in which a top may be turned against its frame, rad, and how likely.
type turn struct{ by, likely float64 }

// turnsOf are the ways in which a top may be turned, by what all its ends tell.
func turnsOf(ends []tableEnd) []turn {
	var out []turn
	sum := 0.0
	for k := -math.Round(mostTurn / turnStep); k*turnStep <= mostTurn; k++ {
		x := turn{k * turnStep, 1}
		for i := range ends {
			x.likely *= ends[i].likely(x.by)
		}
		out, sum = append(out, x), sum+x.likely
	}
	for i := range out {
		if sum == 0 { // hundreds of rows speak against each: none is likelier than another
			out[i].likely = 1 / float64(len(out))
		} else {
			out[i].likely /= sum
		}
	}
	return out
}

// turnOf is by how much a top is turned against its frame, rad.
func turnOf(turns []turn) (by, sigma float64) {
	var first, second float64
	for _, x := range turns {
		first, second = first+x.likely*x.by, second+x.likely*x.by*x.by
	}
	return first, math.Sqrt(max(second-first*first, 0) + turnStep*turnStep/12)
}

// unlikelyTurn is what a turn must weigh at least for its ends to be looked at.
const unlikelyTurn = 1e-3

// place is where the end lies, counted from its guess toward the top, by all its rows
// and whichever way the top is turned; and what of its sigma the turn makes. What bounds
// a row is where its points end and its rays went: these are known to a step, and would
// draw the end together between them if each were as soft as for a turn.
func (l lean) place(turns []turn) (at, sigma, byTurn float64) {
	l.soft = leanStep
	var sum, first, second, means float64
	for _, x := range turns {
		if x.likely < unlikelyTurn {
			continue
		}
		var w, wx, wxx float64
		for at := -l.reach; at <= l.reach; at += leanStep {
			p := l.likelyAt(at, x.by)
			w, wx, wxx = w+p, wx+p*at, wxx+p*at*at
		}
		if w == 0 {
			continue
		}
		f := x.likely / w
		sum, first, second, means = sum+x.likely, first+f*wx, second+f*wxx, means+f*wx*wx/w
	}
	if sum == 0 { // no place fits: anywhere that it was looked for (JCGM 100:2008, 4.3.7)
		return 0, l.reach / math.Sqrt(3), 0
	}
	first, second, means = first/sum, second/sum, means/sum
	return first, math.Sqrt(max(second-first*first, 0)), math.Sqrt(max(means-first*first, 0))
}

// bounds tells whether enough of the rows bound the end at a place from either side,
// more than strays would.
func (l *lean) bounds(at float64) bool {
	past, on := 0, 0
	for _, r := range l.rows {
		if r.hasOpen() && r.open < at+l.soft {
			past++
		}
		if r.hasClosed() && r.closed > at-l.soft {
			on++
		}
	}
	return min(past, on) >= max(minRows, strayRows(len(l.rows)))
}

// likely is how likely what was seen of the end is if the top is turned so: by the
// board's edge, or by the rows.
func (e *tableEnd) likely(turn float64) float64 {
	switch {
	case e.turnSigma > 0:
		z := (turn - e.turn) / math.Hypot(e.turnSigma, turnStep)
		return math.Exp(-z * z / 2)
	case e.lean != nil:
		return e.lean.likely(turn)
	}
	return 1
}

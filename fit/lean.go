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
	best, at := 0.0, 0.0
	for x := -l.reach; x <= l.reach; x += leanStep {
		if p := l.likelyAt(x, 0); p > best {
			best, at = p, x
		}
	}
	n := 0
	for _, r := range l.rows {
		if r.hasOpen() && r.hasClosed() && r.open < at+l.soft && r.closed > at-l.soft {
			n++
		}
	}
	return n >= minRows && float64(n) >= straightShare*float64(len(l.rows))
}

// ramp is 1 where d is more than soft, 0 where it is less than -soft.
func ramp(d, soft float64) float64 {
	return min(max((d+soft)/(2*soft), 0), 1)
}

// turnOf is by how much a top is turned against its frame, rad, by what all its
// ends tell.
func turnOf(ends []tableEnd) (turn, sigma float64) {
	var sum, first, second float64
	for k := -math.Round(mostTurn / turnStep); k*turnStep <= mostTurn; k++ {
		x, w := k*turnStep, 1.0
		for i := range ends {
			w *= ends[i].likely(x)
		}
		sum, first, second = sum+w, first+w*x, second+w*x*x
	}
	turn = first / sum
	return turn, math.Sqrt(max(second/sum-turn*turn, 0) + turnStep*turnStep/12)
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

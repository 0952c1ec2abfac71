package fit

import (
	"math"
	"testing"
)

// bracketed are n rows between which an end lies anywhere from open to closed.
func bracketed(n int, open, closed float64) *lean {
	l := &lean{sense: 1, soft: 1, reach: bracketReach}
	for i := range n {
		l.rows = append(l.rows, row{along: (float64(i) - float64(n-1)/2) * rowPitch, open: open, closed: closed})
	}
	return l
}

var still = []turn{{0, 1}}

// Between the rows that bound it the end lies anywhere (JCGM 100:2008, 4.3.7), and a
// group of returns beyond it, of a few rows, moves it no further than by the share of
// the rows that may be wrong.
func TestEndLiesWhereItsRowsLeaveRoom(t *testing.T) {
	t.Parallel()
	l := bracketed(40, -30, 30)
	at, sigma, byTurn := l.place(still)
	within(t, "the middle", at, 0, 0.1)
	within(t, "uniform between", sigma, 60/math.Sqrt(12), 0.5)
	within(t, "of one turn", byTurn, 0, 1e-6)
	for i := range 4 {
		l.rows[10*i].closed = -120 // strays before the end, in the plane of the top
	}
	at, sigma, _ = l.place(still)
	within(t, "with strays", at, 0, 0.1)
	within(t, "uniform with strays", sigma, 60/math.Sqrt(12), 0.5)
	if !l.bounds(at) {
		t.Error("forty rows do not bound the end")
	}
}

// What one row alone says is as likely a stray's as not where it takes away most of
// the room that the others leave: the sigma takes in both.
func TestOneRowNarrowsNoEnd(t *testing.T) {
	t.Parallel()
	l := bracketed(40, -190, 10)
	l.rows[7].open = 0
	at, sigma, _ := l.place(still)
	if !(math.Abs(at) < 2*sigma && math.Abs(at+180) < 3*sigma) {
		t.Errorf("the end at %.0f with sigma %.0f leaves out 0 or -180", at, sigma)
	}
}

// An end of which only the far half was seen moves with the turn, and its sigma has
// that in it.
func TestEndMovesWithTheTurn(t *testing.T) {
	t.Parallel()
	const by = 0.02
	l := bracketed(60, -2, 2)
	l.rows = l.rows[40:]
	mid := l.rows[len(l.rows)/2].along
	turns := []turn{{-by, 0.5}, {by, 0.5}}
	for i := range l.rows { // each of the two turns leaves room along these rows
		l.rows[i].open, l.rows[i].closed = -2-by*200, 2+by*200
	}
	at, sigma, byTurn := l.place(turns)
	within(t, "the middle", at, 0, 1)
	within(t, "by the turn", byTurn, by*mid, 0.3*by*mid)
	if sigma < byTurn {
		t.Errorf("sigma %.1f, of which the turn alone makes %.1f", sigma, byTurn)
	}
}

// Rows that were bounded on one side only, or by no more than strays on the other,
// bound no end.
func TestRowsOfOneSideBoundNothing(t *testing.T) {
	t.Parallel()
	l := bracketed(40, math.Inf(-1), 10)
	for i := range 3 {
		l.rows[i].open = -50
	}
	if at, _, _ := l.place(still); l.bounds(at) {
		t.Errorf("three of forty rows bound an end at %.0f", at)
	}
}

// Of an end at which each of a thousand rows contradicts itself, as where a round top
// is taken for a square one and more, nothing is told, and nothing is not a number.
func TestEndThatAllRowsSpeakAgainst(t *testing.T) {
	l := &lean{sense: 1, soft: leanStep, reach: bracketReach}
	for k := range 1000 {
		l.rows = append(l.rows, row{along: float64(k), open: bracketReach, closed: -bracketReach})
	}
	turns := turnsOf([]tableEnd{{lean: l}, {lean: l}})
	by, sigma := turnOf(turns)
	if want := mostTurn / math.Sqrt(3); math.Abs(by) > 1e-9 || math.Abs(sigma-want) > 0.05*want {
		t.Errorf("turned by %g with sigma %g, want any turn up to %g", by, sigma, mostTurn)
	}
	if at, sigma, _ := l.place(turns); at != 0 || math.Abs(sigma-bracketReach/math.Sqrt(3)) > 1 {
		t.Errorf("the end lies at %g with sigma %g, want anywhere", at, sigma)
	}
}

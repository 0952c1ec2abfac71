package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// slanted are the rows of an end that is turned by turn and was bracketed to gap mm;
// every fifth is a stray's, and in the second half something hides the top.
func slanted(turn, gap float64) *lean {
	l := &lean{sense: 1, soft: 1, reach: borderReach}
	for i := range 50 {
		along := float64(i-25) * rowPitch
		at := turn * along
		r := row{along: along, open: at - gap/2, closed: at + gap/2}
		switch {
		case i%5 == 0:
			r.open, r.closed = 40, 50
		case i > 25:
			r.closed += 100
		}
		l.rows = append(l.rows, r)
	}
	return l
}

// The ends of a top that was laid out two degrees askew turn it back, to what the
// brackets of their rows leave: a line through brackets 6 mm wide along a metre is
// turned by no more than that over half of it.
func TestTopTurnsToItsEnds(t *testing.T) {
	const askew = 2 * math.Pi / 180
	tt := &tabletop{frame: standing(500, 1200, 0.3)}
	tt.ends[0].lean, tt.ends[3].lean = slanted(-askew, 6), slanted(-askew, 20)
	before := tt.frame
	tt.turnToEnds()
	got := tt.frame.R.Mul(before.R.T()).Log()
	within(t, "turn", r3.Dot(got, before.R.Axis(2)), -askew, 3*tt.turnSigma)
	if tt.turnSigma > 6./500 || tt.turnSigma < 0.5/500 {
		t.Errorf("the turn is told to %.2g rad", tt.turnSigma)
	}
}

// A frame that its last round still turned by more than a degree does not tell how
// the top is turned, though an end runs in it and the sigma is small.
func TestTopThatWalksIsNotTurned(t *testing.T) {
	tt := &tabletop{frame: standing(500, 1200, 0.3)}
	tt.ends[1].lean = slanted(0, 6)
	tt.turnSigma = knownTurn / 2
	if !tt.turned() {
		t.Fatal("a frame that stands still is said to walk")
	}
	if tt.turnLeft = 2 * stillTurn; tt.turned() {
		t.Error("a frame that still turns is said to be known")
	}
}

// An end runs in its frame where its rows leave room for a line there; the edge of
// what hides a top at a slant does not, nor one of which next to nothing was bounded
// from either side.
func TestEndRunsInItsFrame(t *testing.T) {
	t.Parallel()
	aslant := &lean{sense: 1, soft: 1, reach: borderReach}
	for along := -400.0; along <= 400; along += rowPitch {
		aslant.rows = append(aslant.rows, row{along: along, open: 0.4*along - 3, closed: 0.4*along + 3})
	}
	bare := slanted(0, 6)
	for i := range bare.rows[:40] {
		bare.rows[i].open = math.Inf(-1)
	}
	for name, c := range map[string]struct {
		l    *lean
		want bool
	}{"straight": {slanted(0, 6), true}, "aslant": {aslant, false}, "hardly bounded": {bare, false}} {
		if got := c.l.runs(); got != c.want {
			t.Errorf("%s: runs %v", name, got)
		}
	}
}

// A face of the board tells the turn as well as it is known itself.
func TestTopTurnsToTheBoard(t *testing.T) {
	tt := &tabletop{frame: standing(500, 1200, 0.3)}
	tt.ends[2] = tableEnd{turn: 0.02, turnSigma: 0.004, straight: true}
	before := tt.frame
	tt.turnToEnds()
	within(t, "turn", r3.Dot(tt.frame.R.Mul(before.R.T()).Log(), before.R.Axis(2)), 0.02, 1e-4)
	within(t, "sigma of the turn", tt.turnSigma, 0.004, 2e-4)
}

// Where no end tells, the turn is anything.
func TestTopWithoutEndsIsNotTurned(t *testing.T) {
	tt := &tabletop{frame: standing(500, 1200, 0.3)}
	before := tt.frame
	tt.turnToEnds()
	if turned := tt.frame.R.Mul(before.R.T()).Log(); r3.Norm(turned) > 1e-9 || tt.turnSigma < knownTurn {
		t.Errorf("nothing told of a turn, and it turned by %v, known to %.2g rad", turned, tt.turnSigma)
	}
}

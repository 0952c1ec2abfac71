package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The ends of a top that was laid out two degrees askew turn it back.
func TestTopTurnsToItsEnds(t *testing.T) {
	const askew = 2 * math.Pi / 180
	tt := &tabletop{frame: standing(500, 1200, 0.3)}
	tt.turnSigma = math.Pi / 4
	tt.ends[2] = tableEnd{turn: -askew, turnSigma: 1e-3, straight: true}
	tt.ends[0] = tableEnd{turn: -askew + 0.01, turnSigma: 1e-2, straight: true}
	before := tt.frame
	tt.turnToEnds()
	got := tt.frame.R.Mul(before.R.T()).Log()
	// Weighted 100 : 1.
	within(t, "turn", r3.Dot(got, before.R.Axis(2)), -askew+0.01/101, 1e-6)
	within(t, "sigma of the turn", tt.turnSigma, 1/math.Sqrt(1e6+1e4), 1e-9)
}

func TestTopWithoutEndsStays(t *testing.T) {
	tt := &tabletop{frame: standing(500, 1200, 0.3), turnSigma: 1}
	before := tt.frame
	if tt.turnToEnds(); tt.frame != before || tt.turnSigma != 1 {
		t.Error("nothing told of a turn, and it turned")
	}
}

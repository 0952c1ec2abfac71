package between

import (
	"math"
	"testing"
)

func TestGrid(t *testing.T) {
	if a, b := Shift(0), Shift(Steps-1); a != LeastShift || math.Abs(b-2) > 1e-12 {
		t.Errorf("the grid runs from %g to %g", a, b)
	}
	for k := 2; k < Steps; k++ {
		if r, s := Shift(k)/Shift(k-1), Shift(1)/Shift(0); math.Abs(r-s) > 1e-9 {
			t.Errorf("step %d has the ratio %g, the first %g", k, r, s)
		}
	}
}

// A declared arm is taken at its word more than a usual one: half a millimetre
// is unlikely for one that is declared to a tenth.
func TestLikely(t *testing.T) {
	if Usual(0.1) != 0.1 || Usual(0) != undeclaredShift {
		t.Error("the usual shift is not the declared one")
	}
	loss := func(declared float64) float64 {
		return Likely(Usual(declared), declared) - Likely(5*Usual(declared), declared)
	}
	if loss(0.1) < 2*loss(0) {
		t.Errorf("five times the declared shift loses %g, of an undeclared one %g", loss(0.1), loss(0))
	}
}

// Weights of 1, 2 and 4 sum to one, however small they are.
func TestWeights(t *testing.T) {
	var logs [Steps]float64
	for k := range logs {
		logs[k] = math.Inf(-1)
	}
	logs[3], logs[4], logs[5] = -1000, -1000+math.Log(2), -1000+math.Log(4)
	w := Weights(logs)
	if math.Abs(w[3]-1./7) > 1e-12 || math.Abs(w[5]-4./7) > 1e-12 || w[0] != 0 {
		t.Errorf("weights %v", w)
	}
}

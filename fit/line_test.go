package fit

import (
	"math"
	"testing"
)

func TestSlopeSurvivesAQuarterOfStrays(t *testing.T) {
	var l line
	for i := range 40 {
		x := float64(i) * 20
		y := 3 + 0.05*x
		if i%4 == 0 {
			y += 500
		}
		l.add(x, y)
	}
	if got := l.slope(); math.Abs(got-0.05) > 0.005 {
		t.Errorf("slope %.4f, want 0.05", got)
	}
	if l.length() != 780 {
		t.Errorf("length %.0f, want 780", l.length())
	}
}

func TestSlopeOfOneRowIsNone(t *testing.T) {
	var l line
	l.add(5, 5)
	if l.slope() != 0 || l.length() != 0 {
		t.Errorf("one row has slope %g and length %g", l.slope(), l.length())
	}
}

// The median absolute deviation of 1..9 about 5 is 2; 1.4826 makes it the
// standard deviation of a normal distribution (Rousseeuw and Croux, J. Am. Stat.
// Assoc. 88 (1993) 1273).
func TestMedianSpread(t *testing.T) {
	m, s := medianSpread([]float64{9, 1, 8, 2, 7, 3, 6, 4, 5})
	if m != 5 || math.Abs(s-2*1.4826) > 1e-12 {
		t.Errorf("median %g, spread %g; want 5, 2.9652", m, s)
	}
	if got := median([]float64{4, 1, 3, 2}); got != 2.5 {
		t.Errorf("median of an even number is %g, want 2.5", got)
	}
}

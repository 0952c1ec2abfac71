package fit

import (
	"math"
	"testing"
)

// The face is seen to x = 20 in one place and rays pass at x = -15 in another:
// the end lies between, uniformly.
func TestBracket(t *testing.T) {
	s := &sheet{}
	for i := range 40 {
		d := float64(i)
		s.closed = append(s.closed, patch{at: [2]float64{20 + d, 100 + d}})
		s.open = append(s.open, patch{at: [2]float64{-15 - d, 600 + d}, deep: 500})
		s.open = append(s.open, patch{at: [2]float64{15, 300 + d}, deep: 12}) // spikes on metal
	}
	q := search{axis: 0, solid: 1, guess: 0, reach: bracketReach, from: 0, to: 800}
	b, ok := s.bracket(q)
	inner, outer := 20.0+bracketStrays, -15.0-bracketStrays
	if !ok || math.Abs(b.at-(inner+outer)/2) > 1e-9 || math.Abs(b.sigma-(inner-outer)/math.Sqrt(12)) > 1e-9 {
		t.Errorf("got %+v, %v; want the middle of %g..%g", b, ok, outer, inner)
	}
	for i := range s.open {
		s.open[i].at[0] -= 2 * bracketReach
	}
	if b, ok := s.bracket(q); ok {
		t.Errorf("%+v: an end without anything past it in reach is not located", b)
	}
}

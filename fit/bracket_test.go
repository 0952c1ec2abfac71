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
	inner, outer := 20.0, -15.0
	if !ok || math.Abs(b.at-(inner+outer)/2) > 0.5 || math.Abs(b.sigma-(inner-outer)/math.Sqrt(12)) > 0.5 {
		t.Errorf("got %+v, %v; want the middle of %g..%g", b, ok, outer, inner)
	}
	for i := range s.open {
		s.open[i].at[0] -= 2 * bracketReach
	}
	if b, ok := s.bracket(q); ok {
		t.Errorf("%+v: an end without anything past it in reach is not located", b)
	}
}

// A group of stray returns in the plane of a face, beyond its end, that many rays passed
// on their way moves the end nowhere; where nearly none passed there it may be the face.
func TestStrayReturnsBeyondAnEnd(t *testing.T) {
	t.Parallel()
	var hit, strays, past, few []float64
	for i := range 60 {
		hit = append(hit, 20+float64(i))
		past = append(past, -15-float64(i))
	}
	for i := range 8 {
		strays = append(strays, -70+float64(i)/4)
	}
	few = append(few, past[50:]...)
	at, sigma := endBetween(past, append(strays, hit...), bracketReach)
	within(t, "the end", at, 2.5, 0.5)
	within(t, "its sigma", sigma, 35/math.Sqrt(12), 0.5)
	few = append(few, -40)
	at, sigma = endBetween(few, append(strays, hit...), bracketReach)
	if !(math.Abs(at+69) < 3*sigma) {
		t.Errorf("an end that one ray passed is at %.0f with sigma %.0f, and returns came from -70", at, sigma)
	}
}

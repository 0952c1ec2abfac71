package vise

import (
	"math"
	"testing"
)

// What is expected of a jaw's play follows Bayes' rule for two kinds of vise: the
// limits are those of no data, of sharp data at nothing and of sharp data at a
// whole millimetre.
func TestPlayIsTakenForSmallOnlyWhereTheDataSaySo(t *testing.T) {
	for _, c := range []struct{ size, sigma, least, most float64 }{
		{0, greatPlay, .5, greatPlay}, // nothing was seen: it may be a bad one
		{0, .005, usualPlay, .15},     // a good one, all but surely
		{1, .005, .99, greatPlay},     // a bad one
		{-1, .05, .99, greatPlay},
	} {
		if got := play(c.size, c.sigma); !(got >= c.least && got <= c.most) || math.IsNaN(got) {
			t.Errorf("found %g mm with sigma %g: expected to within %.3f mm, want %g to %g", c.size, c.sigma, got, c.least, c.most)
		}
	}
}

package fit

import (
	"math"
	"testing"
)

// Rows of which a few end early, by strays, begin where they agree; rows that all
// differ are left as they are.
func TestRowsBeginWhereTheyAgree(t *testing.T) {
	rows := []float64{7.3, -10, 7.5, 7.4, 1.1, 9, 7.3, 3.9, 12, 7.3, 20, 7.6, 8, 7.4, 7.3, 30, 7.5, 7.7, 7.4, 7.3}
	if got := fromAgreed(rows, 8.7)[0]; got != 7.3 {
		t.Errorf("they begin at %g, want 7.3", got)
	}
	if got := fromAgreed([]float64{25, 0, 12}, 8.7); len(got) != 3 || got[0] != 0 {
		t.Errorf("of three that differ are left %v", got)
	}
	if got := fromAgreed([]float64{11.3, 1.3, 36.9, 11.4, 11.4, 0, 11.4, 11.3, 11.4}, 9.7)[0]; got != 11.3 {
		t.Errorf("two strays that agree by chance make the edge %g, want 11.3", got)
	}
	var ramp []float64
	for i := range 12 {
		ramp = append(ramp, 1.25*float64(i))
	}
	if got := fromAgreed(ramp, 8); len(got) != 12 {
		t.Errorf("of a ramp, in which nothing agrees, are left %v", got)
	}
}

// Points that three rows agree on lie 8 mm before where the rays went past: the
// edge lies between, and no better is claimed. Where they do not, the scans tell.
func TestRaysThatPassedOverPointsLeaveTheEdgeVague(t *testing.T) {
	scans := []nearest{{-4.7, 2, 0.5, 0, 3}, {3, 1, 0.5, 0, 3}, {3.3, 4, 0.5, 0, 6}}
	if at, sigma := passedOver(scans, 7, 3.7); at < -4.7 || at > 7 || sigma < 3 || sigma > 5 {
		t.Errorf("the edge lies at %.2f, sigma %.2f", at, sigma)
	}
	if at, sigma := passedOver(scans[1:], 5, 3.7); math.Abs(at-3.1) > 1 || sigma > 1 {
		t.Errorf("without them it lies at %.2f, sigma %.2f", at, sigma)
	}
}

// Of rows with points 10 mm apart six agree, and one reaches a point further: it
// tells where the edge may be. One three points further is a stray.
func TestSingleRowsReachTheEdge(t *testing.T) {
	closed := []float64{-10.6, -0.1, 0.2, 0.2, 0.8, 1.2, 2.5, 35.4}
	if at := reaching(closed, -0.1, 10); at != -10.6 {
		t.Errorf("reached %g", at)
	}
	closed[0] = -30
	if at := reaching(closed, -0.1, 10); at != -0.1 {
		t.Errorf("a stray is said to reach %g", at)
	}
}

package shape

import "testing"

// Hartley and Zisserman, Multiple View Geometry, table 4.3 (from memory), for
// p = 0.99, computed independently.
func TestDraws(t *testing.T) {
	outliers := []float64{.05, .10, .20, .25, .30, .40, .50}
	for s, want := range map[int][]int{
		2: {2, 3, 5, 6, 7, 11, 17},
		3: {3, 4, 7, 9, 11, 19, 35},
		4: {3, 5, 9, 13, 17, 34, 72},
	} {
		for i, e := range outliers {
			if got := Draws(0.99, 1-e, s); got != want[i] {
				t.Errorf("%d points, %g outliers: %d draws, want %d", s, e, got, want[i])
			}
		}
	}
	if got := Draws(0.99, 1, 3); got != 1 {
		t.Errorf("without outliers %d draws, want 1", got)
	}
}

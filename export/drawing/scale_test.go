package drawing

import "testing"

// ISO 5455:1979, table: enlargements 50:1 20:1 10:1 5:1 2:1, full size 1:1,
// reductions 1:2 1:5 1:10 and so on to 1:10000 (from memory). Scale rulers have
// 1:25 and 1:75 besides (common practice).
func TestLargestScale(t *testing.T) {
	for _, c := range []struct {
		length float64 // mm, onto 390 mm of paper
		want   string
	}{
		{7, "50:1"}, {8, "20:1"}, {300, "1:1"}, {391, "1:2"}, {1900, "1:5"}, {3900, "1:10"}, {3901, "1:20"}, {7900, "1:25"}, {9751, "1:50"}, {29000, "1:75"}, {39000, "1:100"},
	} {
		got, err := largest(func(r ratio) bool { return c.length*r.of() <= 390 })
		if err != nil || got.String() != c.want {
			t.Errorf("%g mm: %v, %v, want %s", c.length, got, err, c.want)
		}
	}
	if _, err := largest(func(r ratio) bool { return 1e9*r.of() <= 390 }); err == nil {
		t.Error("a scene of 1000 km finds a scale")
	}
}

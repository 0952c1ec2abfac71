package mount

import (
	"strings"
	"testing"
)

// late is a latency alone: a unit of it moves points by 1 mm at half a metre a
// second.
func late(sigma float64) Direction {
	v := Direction{Sigma: sigma, Told: true}
	v.Unit[6], v.read[6] = 0.002, 500
	return v
}

func TestRoughIsTwoSigmaOverWhatAMountIsWorth(t *testing.T) {
	// Half a millisecond is a quarter of a unit: two sigma of 0.125.
	for sigma, want := range map[float64]bool{0.12: false, 0.13: true} {
		if v := late(sigma); v.Rough() != want {
			t.Errorf("sigma %g: rough %v", sigma, !want)
		}
	}
	v := late(0.12)
	if !v.Within(0.24) || v.Within(0.26) {
		t.Error("an error of a quarter of a unit is half a millisecond")
	}
	v = late(1)
	v.Told = false
	if v.Rough() {
		t.Error("what is not told is not told roughly")
	}
}

func TestWordsOfADirection(t *testing.T) {
	v := late(0.3)
	v.Unit[1], v.read[1] = 0.6, 0.6
	v.read[6] = 320
	if got, want := v.String(), "latency together with shift along the flange's y"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := v.roughly("add a sweep"); !strings.Contains(got, "told to ±1.2 ms; to know it better, add a sweep") {
		t.Errorf("%q", got)
	}
	v.Sigma, v.Told = 100, false
	if got := v.untold("add a sweep"); !strings.Contains(got, "not observable from these sweeps; add a sweep") {
		t.Errorf("%q", got)
	}
}

package value

import (
	"math"
	"testing"
)

// JCGM 100:2008, 7.2.6: at most two digits of an uncertainty are worth stating,
// it may be rounded up, and the value is rounded to the same place.
func TestMM(t *testing.T) {
	for _, c := range []struct {
		v, sigma float64
		want     string
	}{
		{63.42, 0.1, "63.4 ± 0.2"},
		{1800, 0.7, "1800.0 ± 1.4"},
		{1800.4, 1.1, "1800 ± 3"},
		{1800.4, 30, "1800 ± 60"},
		{1234.5, 480, "1235 ± 960"},
		{63.404, 0.08, "63.4 ± 0.2"},
		{63.404, 0.051, "63.4 ± 0.1"},
		{0.0449, 1e-5, "0.0 ± 0.1"},
		{-0.001, 0.1, "0.0 ± 0.2"},
		{-1450, 0.3, "-1450.0 ± 0.6"},
		{12.34, 0, "12.3 ± ?"},
		{12.34, math.NaN(), "12.3 ± ?"},
		{12.34, math.Inf(1), "12.3 ± ?"},
	} {
		if got := MM(c.v, c.sigma); got != c.want {
			t.Errorf("MM(%g, %g) = %q, want %q", c.v, c.sigma, got, c.want)
		}
	}
}

func TestDeg(t *testing.T) {
	if got := Deg(0.3, math.Pi/math.Sqrt(3)); got != "any" {
		t.Errorf("an angle of which nothing is known is %q", got)
	}
	if got, want := Deg(math.Pi/2, math.Pi/180*0.02), "90.00° ± 0.04°"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestBoundedStatesNoUncertaintyOfWhatWasNotSeen(t *testing.T) {
	for _, c := range []struct {
		v, sigma float64
		unseen   bool
		want     string
	}{
		{1903.2, 1155, true, "about 1903"},
		{1903.2, 1155, false, "1903 ± 2310"},
		{63.42, 0.1, true, "63.4 ± 0.2"},
		{-0.2, 300, true, "about 0"},
	} {
		if got := Bounded(c.v, c.sigma, c.unseen); got != c.want {
			t.Errorf("%+v: got %q", c, got)
		}
	}
}

package guard

import (
	"math"
	"strings"
	"testing"
)

// Worked values of ISO 13855:2010: 0.32 s and 14 mm give 512 mm, 0.165 s and 14
// mm give 330 mm (secondary sources); 90 ms and 30 mm give 308 mm (an example of
// its annex, from memory). The bounds of 500 and 100 mm follow from its text.
func TestWorkedValuesOf2010(t *testing.T) {
	for _, c := range []struct{ stopping, resolution, want float64 }{
		{.32, 14, 512}, {.165, 14, 330}, {.090, 30, 308},
		{.25, 14, 500}, {.26, 14, 500}, {.3125, 14, 500}, // over 500 with the fast hand, under it with the slow
		{.01, 14, 100}, {.05, 14, 100}, {.3, 40, 688},
	} {
		d, err := Approach{Edition: "2010", Stopping: c.stopping, Resolution: c.resolution}.MinimumDistance()
		if err != nil || d.S != c.want {
			t.Errorf("%g s and %g mm: %g mm, %v, want %g", c.stopping, c.resolution, d.S, err, c.want)
		}
		if text := d.String(); !strings.Contains(text, "ISO 13855:2010") || !strings.Contains(text, "K = 2000") {
			t.Errorf("the working does not show the edition or the speed:\n%s", text)
		}
	}
}

// The edition of 2024 is S = K T + D_DS + Z (secondary source).
func TestEditionOf2024AddsItsTerms(t *testing.T) {
	d, err := Approach{Edition: "2024", Stopping: .5, Speed: 1600, Reach: 120, Supplement: 30.5}.MinimumDistance()
	if err != nil || d.S != 951 {
		t.Errorf("%g, %v, want 951", d.S, err)
	}
}

func TestWrongInputsAreRefused(t *testing.T) {
	for says, a := range map[string]Approach{
		"edition":              {Stopping: .1, Resolution: 14},
		`edition "2002"`:       {Edition: "2002", Stopping: .1, Resolution: 14},
		"stopping time is mis": {Edition: "2010", Resolution: 14},
		"is -1":                {Edition: "2010", Stopping: -1, Resolution: 14},
		"NaN":                  {Edition: "2010", Stopping: math.NaN(), Resolution: 14},
		"Inf":                  {Edition: "2024", Stopping: .1, Speed: math.Inf(1)},
		"not 50":               {Edition: "2010", Stopping: .1, Resolution: 50},
		"not 0":                {Edition: "2010", Stopping: .1},
		"belong to":            {Edition: "2010", Stopping: .1, Resolution: 14, Reach: 5},
		"speed K is missing":   {Edition: "2024", Stopping: .1},
		"instead of":           {Edition: "2024", Stopping: .1, Speed: 1600, Resolution: 14},
	} {
		if d, err := a.MinimumDistance(); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%+v: %v, %v, want %q", a, d, err, says)
		}
	}
}

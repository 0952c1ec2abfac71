package scene

import (
	"math"
	"strings"
	"testing"

	"cellwall/fit"
	"cellwall/scene/schema"
)

// bounded is the sample with an opening of which the left edge was not seen.
func bounded(t *testing.T) *Scene {
	t.Helper()
	s := sample(t)
	for i := range s.Objects {
		if o := s.Objects[i].Opening; o != nil {
			o.Sigma = [4]float64{0.5, math.Inf(1), 0.4, 0.6}
			return s
		}
	}
	t.Fatal("the sample has no opening")
	return nil
}

// What is only a bound must not be found under the name of what was measured.
func TestBoundedOpeningIsNotWrittenAsMeasured(t *testing.T) {
	s := bounded(t)
	data := written(t, s)
	if err := validate(t, schema.Scene, data); err != nil {
		t.Error(err)
	}
	if text := string(data); strings.Contains(text, `"opening":`) || !strings.Contains(text, `"opening_at_least":`) {
		t.Error("an opening with an edge that nobody saw is written as measured")
	}
	back, err := Read(strings.NewReader(string(data)))
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.Objects {
		want, got := s.Objects[i].Opening, back.Objects[i].Opening
		if want == nil {
			continue
		}
		if got == nil || got.Measured() || math.Abs(got.YMax-want.YMax) > 1e-3 {
			t.Errorf("read back as %+v, written %+v", got, want)
		}
	}
}

func TestOpeningIsReadBackWithItsSigmas(t *testing.T) {
	want := fit.Opening{YMin: -400, YMax: 401.5, ZMin: 900, ZMax: 1500, Sigma: [4]float64{0.5, 1.5, 0.4, 2}}
	measured, atLeast := openingOf(&want)
	if atLeast != nil {
		t.Error("a measured opening is written as a bound")
	}
	got, err := (&fileObject{Opening: measured}).opening()
	if err != nil || *got != want {
		t.Errorf("got %+v, %v; want %+v", got, err, want)
	}
	if _, err := (&fileObject{Opening: measured, AtLeast: measured}).opening(); err == nil {
		t.Error("an opening that is both measured and a bound passes")
	}
	if _, err := (&fileObject{Opening: &fileOpening{Y: numbers{1, 2}, Z: numbers{1, 2}}}).opening(); err == nil {
		t.Error("a measured opening without sigmas passes")
	}
}

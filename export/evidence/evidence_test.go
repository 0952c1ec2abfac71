package evidence

import (
	"math"
	"slices"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/scene"
)

func TestOf(t *testing.T) {
	s := &scene.Scene{Scans: []string{"a", "b", "c"}}
	o := &scene.Object{Object: fit.Object{Kind: fit.Vise, Inside: "mill"}, Margin: 20}
	o.Measures = map[string]fit.Measure{"opening_mm": {Value: 63.41234567, Sigma: 0.1}}
	for i, sigma := range []float64{0.1, 0.2, 0.3, 0.001, 0.002, 0.003} {
		o.Cov[i][i] = sigma * sigma
	}
	for _, scans := range [][]int32{{2}, {0, 2}} {
		o.Faces = append(o.Faces, fit.Face{Surface: surface.Surface{Points: 50, Scans: scans}})
	}
	e := Of(s, o)
	if e.Kind != "vise" || !e.Located || e.Inside != "mill" || e.Points != 100 || e.Margin != 20 {
		t.Errorf("%+v", e)
	}
	if !slices.Equal(e.Scans, []string{"a", "c"}) {
		t.Errorf("seen by %v, want a and c, each once", e.Scans)
	}
	if want := [3]float64{0.1, 0.2, 0.3}; *e.SigmaXYZ != want {
		t.Errorf("sigma %v, want %v", *e.SigmaXYZ, want)
	}
	if got, want := e.SigmaRotation[2], 0.003*180/math.Pi; math.Abs(got-want) > 1e-4 {
		t.Errorf("sigma about Z %g deg, want %g", got, want)
	}
	if m := e.Measures["opening_mm"]; m != (Measure{Value: 63.4123, Sigma: 0.1}) {
		t.Errorf("opening %+v", m)
	}
}

// The remainder is nowhere: to give it a sigma would be to claim a place.
func TestTheRemainderHasNoSigma(t *testing.T) {
	e := Of(&scene.Scene{}, &scene.Object{Object: fit.Object{Kind: scene.Remainder}})
	if e.Located || e.SigmaXYZ != nil || e.SigmaRotation != nil || e.Scans == nil {
		t.Errorf("%+v", e)
	}
}

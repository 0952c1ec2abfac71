package extent

import (
	"math"
	"testing"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestParse(t *testing.T) {
	for _, e := range All {
		if got, err := Parse(e.String()); err != nil || got != e {
			t.Errorf("Parse(%q) is %v, %v", e.String(), got, err)
		}
	}
	for _, name := range []string{"", "Grown", "padded"} {
		if _, err := Parse(name); err == nil {
			t.Errorf("Parse(%q) went through", name)
		}
	}
}

// A box and a cylinder along the datum's axes measure what they are, wherever
// the datum stands.
func TestSizeIsAlongTheDatum(t *testing.T) {
	at := geom.Pose{R: geom.RotFromRPY(0.4, -0.9, 2), T: r3.Vec{X: 900, Y: -20, Z: 310}}
	o := &scene.Object{Object: fit.Object{Pose: at}, Margin: 20, Solids: []solid.Solid{
		solid.Box{Box: geom.Box{Pose: at, Size: r3.Vec{X: 300, Y: 200, Z: 100}}},
		solid.Cylinder{Centre: at.Apply(r3.Vec{Z: 350}), Axis: at.R.Axis(2), Radius: 40, Height: 600},
	}}
	for e, want := range map[Extent]geom.Bounds{
		Fitted: {Min: r3.Vec{X: -150, Y: -100, Z: -50}, Max: r3.Vec{X: 150, Y: 100, Z: 650}},
		Grown:  {Min: r3.Vec{X: -170, Y: -120, Z: -70}, Max: r3.Vec{X: 170, Y: 120, Z: 670}},
	} {
		got := e.Of(o)
		if d := r3.Norm(r3.Sub(got.Min, want.Min)) + r3.Norm(r3.Sub(got.Max, want.Max)); d > 1e-5 { // a cylinder's side is as sure as the square root of its axis's rounding
			t.Errorf("%v: %v, want %v", e, got, want)
		}
	}
	o.Solids = o.Solids[1:]
	if b := Fitted.Of(o); math.Abs(b.Max.X-40) > 1e-4 { // its mesh stands out by up to half a millimetre
		t.Errorf("a cylinder of radius 40 reaches %g", b.Max.X)
	}
	o.Solids = nil
	if !Grown.Of(o).Empty() {
		t.Error("nothing has a size")
	}
}

func TestTheRemainderStandsInTheBase(t *testing.T) {
	o := &scene.Object{Object: fit.Object{Kind: scene.Remainder}}
	if got := Datum(o); got != geom.Identity() {
		t.Errorf("its datum is %v", got)
	}
}

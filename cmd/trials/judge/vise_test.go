package judge

import (
	"math"
	"testing"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/scene"
)

// What was scanned of a vise is told from the sweeps that were made, and an object
// that the shop does not have is an invented one.
func TestVisesByWhatWasScanned(t *testing.T) {
	s := fixtures.Demo(1)
	s.Density = 0.05
	s.Skip = []string{"pass-fixed", "pass-across", "swing-level", "swing-down", "swing-up", "swing-low"}
	shop, err := fixtures.Build(s)
	if err != nil {
		t.Fatal(err)
	}
	v := vises(shop, nil, shop.Reached(math.MaxInt))[0]
	if v.Scanned() || v.Points["moving-jaw-face"] < scannedPoints || v.Points["fixed-jaw-face"] > scannedPoints {
		t.Errorf("the moving jaw's face alone was looked at: returns %v, scanned %v", v.Points, v.Scanned())
	}
	if !v.Names(fit.Refusal{Reason: "its fixed jaw face was not scanned"}) || v.Names(fit.Refusal{Reason: "its moving jaw top was not scanned"}) {
		t.Errorf("the fixed jaw's face is missing, the moving jaw's top is not: returns %v", v.Points)
	}
	named := func(name string, kind fit.Kind) scene.Object {
		return scene.Object{Object: fit.Object{Name: name, Kind: kind}}
	}
	built := &scene.Scene{Objects: []scene.Object{named("vise", fit.Vise), named("bench", fit.Vise)}}
	if got := invented(built, shop); len(got) != 1 {
		t.Errorf("a bench that is called a vise is invented, told %v", got)
	}
	s.Absent = "vise"
	if shop, err = fixtures.Build(s); err != nil {
		t.Fatal(err)
	}
	if got := invented(built, shop); len(got) != 2 || len(vises(shop, nil, shop.Reached(math.MaxInt))) != 0 {
		t.Errorf("without a vise every one is invented, told %v", got)
	}
}

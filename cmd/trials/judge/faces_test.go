package judge

import (
	"math"
	"testing"

	"cellwall/fit"
	"cellwall/fixtures"

	"gonum.org/v1/gonum/spatial/r3"
)

// The end of a button on the panel of the demo cell's mill is a face of its own, 15 mm
// before the panel's: a plane on it is held against that.
func TestEndOfABarIsAFace(t *testing.T) {
	t.Parallel()
	shop, err := fixtures.Build(fixtures.Demo(1))
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, p := range shop.Pieces {
		bar, ok := p.Shape.(fixtures.Cylinder)
		if !ok || p.Object < 0 || bar.Radius > 30 {
			continue
		}
		n++
		for _, end := range [2]fixtures.Face{endOf(bar.From, bar.To, bar.Radius), endOf(bar.To, bar.From, bar.Radius)} {
			var f fit.Face
			f.Plane, f.Centre = end.Plane, end.Centre()
			least := math.Inf(1)
			for _, face := range trueFaces(shop) {
				if off, _, ok := against(&f, face.Face); ok {
					least = min(least, math.Abs(off))
				}
			}
			if least > 1e-9 {
				t.Errorf("the end of a bar of radius %.0f is %.2f mm off the nearest true face", bar.Radius, least)
			}
			if rim := r3.Add(f.Centre, r3.Scale(0.99*bar.Radius, r3.Unit(r3.Sub(end.Corners[0], end.Corners[1])))); !onFace(end, rim, 0) {
				t.Errorf("the rim of a bar of radius %.0f is not on its end", bar.Radius)
			}
		}
	}
	if n == 0 {
		t.Fatal("the demo cell has no button")
	}
}

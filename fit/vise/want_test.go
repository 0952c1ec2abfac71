package vise

import (
	"math"
	"strings"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestHintedNamesTheSide: the viewer looks along X, Y is on the left.
func TestHintedNamesTheSide(t *testing.T) {
	frame := geom.Identity()
	for _, x := range []struct {
		fixed string
		y     r3.Vec // from the fixed to the moving jaw
		want  int
	}{
		{"far", r3.Vec{X: -1}, 1}, {"far", r3.Vec{X: 1}, -1}, {"near", r3.Vec{X: 1}, 1}, {"near", r3.Vec{X: -1}, -1},
		{"left", r3.Vec{Y: -1}, 1}, {"left", r3.Vec{Y: 1}, -1}, {"right", r3.Vec{Y: 1}, 1}, {"right", r3.Vec{Y: -1}, -1},
		{"far", r3.Vec{Y: 1}, 0}, {"left", r3.Vec{X: 1}, 0}, {"", r3.Vec{X: 1}, 0},
		{"far", r3.Vec{X: -math.Cos(1.3), Y: math.Sin(1.3)}, 1}, // 74 degrees off
		{"far", r3.Vec{X: -math.Cos(1.5), Y: math.Sin(1.5)}, 0}, // 86 degrees off
	} {
		if got := (Want{Fixed: x.fixed}).hinted(x.y, frame); got != x.want {
			t.Errorf("fixed %q, jaws face along %v: %d, not %d", x.fixed, x.y, got, x.want)
		}
	}
}

func TestLocateRefusesBadWants(t *testing.T) {
	for _, x := range []struct {
		want Want
		says string
	}{
		{Want{Width: -1}, "width"}, {Want{Depth: math.NaN()}, "depth"}, {Want{Height: math.Inf(1)}, "height"}, {Want{Fixed: "back"}, `"back"`},
		{Want{}, "no points"},
	} {
		found, refused := Locate(&mapping.Cloud{}, x.want, Place{Frame: geom.Identity(), Box: geom.Box{Pose: geom.Identity()}})
		if len(found) > 0 || refused == nil || !strings.Contains(refused.Reason, x.says) {
			t.Errorf("%+v: found %d, refused %+v", x.want, len(found), refused)
		}
	}
}

// Seen from the base, a vise behind it has its far side toward the base's -X.
func TestViewerAtTheBaseTurnsToTheVise(t *testing.T) {
	p := Place{Frame: geom.Identity(), AtBase: true}
	toward := r3.Vec{X: 1} // from the fixed to the moving jaw: the fixed one stands further out
	if got := (Want{Fixed: "far"}).hinted(toward, p.viewer(r3.Vec{X: -1000, Y: 20, Z: 300})); got != 1 {
		t.Errorf("a fixed jaw on the far side is taken for %d", got)
	}
	if got := (Want{Fixed: "left"}).hinted(toward, p.viewer(r3.Vec{Y: 1000, Z: 300})); got != 1 {
		t.Errorf("a fixed jaw on the left is taken for %d", got)
	}
	p.AtBase = false
	if got := (Want{Fixed: "far"}).hinted(toward, p.viewer(r3.Vec{X: -1000, Y: 20, Z: 300})); got != -1 {
		t.Errorf("a frame that was given is not kept: %d", got)
	}
}

// What stands nearer to another's hint than to its own is not meant.
func TestHintsPartWhatStands(t *testing.T) {
	hint := r3.Vec{X: 500}
	w := Want{Near: &hint, Elsewhere: []r3.Vec{{X: 800}}}
	for _, x := range []struct {
		at   float64
		want bool
	}{{520, true}, {640, true}, {660, false}, {300, true}} {
		if got := w.meant(r3.Vec{X: x.at, Y: 40}); got != x.want {
			t.Errorf("hints at 500 and 800, a vise at %g: meant by the first %v", x.at, got)
		}
	}
	if !(Want{Elsewhere: w.Elsewhere}).meant(r3.Vec{X: 800}) {
		t.Error("one without a hint leaves to others what these have hints for")
	}
}

package moves

import (
	"math"
	"testing"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// viseOn is a vise with jaws 100 mm wide and 40 mm high, 60 mm open, and what its jaws
// stand on: from 30 mm behind them to 30 mm before, wide mm wide, its top at the height.
func (w *world) viseOn(at geom.Pose, wide, high float64, scans ...int32) (vise, body scene.Object) {
	vise = w.object("vise", fit.Vise, "mill", at,
		w.face("fixed-jaw-face", at, r3.Vec{Z: -20}, by(-50, x), by(20, z), scans...),
		w.face("moving-jaw-face", at, r3.Vec{Y: 60, Z: -20}, by(50, x), by(20, z), scans...))
	vise.Measures = map[string]fit.Measure{"jaw_width_mm": {Value: 100, Sigma: .1}, "jaw_height_mm": {Value: 40, Sigma: .1}, "opening_mm": {Value: 60, Sigma: .1}}
	body = w.object("block-1", fit.Block, "mill", at,
		w.face("top", at, r3.Vec{Y: 30, Z: high}, by(wide/2, x), by(110, y), scans...),
		w.face("front", at, r3.Vec{Y: -80, Z: high - 40}, by(wide/2, x), by(40, z), scans...),
		w.face("left", at, r3.Vec{X: -wide / 2, Y: 30, Z: high - 40}, by(-110, y), by(40, z), scans...))
	return vise, body
}

func TestBodyOfAViseIsNoTable(t *testing.T) {
	w := newWorld(1)
	w.scans(1)
	for _, c := range []struct {
		wide, high float64
		faces      int
	}{{95, -40, 3}, {95, -60, 0}, {95, 0, 0}, {700, -40, 0}} {
		at := w.mill.Mul(w.vise)
		vise, body := w.viseOn(at, c.wide, c.high, 0)
		body.Faces = append(body.Faces, w.face("top-2", at, r3.Vec{Y: 30, Z: 5}, by(40, x), by(20, y), 0)) // a part between the jaws
		if got := under(&body, &vise); len(got) != c.faces {
			t.Errorf("%g mm wide, top at %g: %d faces under the jaws", c.wide, c.high, len(got))
		}
	}
}

// The rescan did not locate the vise, but saw its body: that tells a slip. The moving
// jaw, which the next part has moved by 3 mm, does not, even where nothing else would.
func TestBodyTellsTheSlipOfAViseNotLocatedAnew(t *testing.T) {
	for _, c := range []struct {
		slip  float64
		front bool // of the body was seen, which tells Y
	}{{0, true}, {2, true}, {0, false}} {
		w := newWorld(23)
		mapped := func(n int, located bool) *scene.Scene {
			s := w.mapped(n)
			scans := s.Objects[0].Faces[0].Scans
			at := w.mill.Mul(w.vise)
			vise, body := w.viseOn(at, 95, -40, scans...)
			s.Objects = append(s.Objects[:len(s.Objects)-1], body, vise)
			if !located {
				if !c.front {
					body.Faces = append(body.Faces[:1], body.Faces[2])
				}
				s.Objects = append(s.Objects[:len(s.Objects)-2], body, w.object("block-2", fit.Block, "mill", at,
					w.face("right", at, r3.Vec{Y: 63, Z: -20}, by(50, x), by(20, z), scans...)))
			}
			return s
		}
		old := mapped(7, true)
		w.mill.T.X += 25
		w.vise.T.Y += c.slip
		got := Compare(old, mapped(3, false), level)
		if len(got.Slips) != 1 {
			t.Fatalf("%+v: %+v", c, got.Untold)
		}
		s := got.Slips[0]
		if s.Whole() != c.front || s.Slipped != (c.slip > 0) || c.front && math.Abs(s.Shift.Y-c.slip) > .6 {
			t.Errorf("%+v: %+v", c, s)
		}
	}
}

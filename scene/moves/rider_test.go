package moves

import (
	"math"
	"slices"
	"testing"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// withPanel is a map whose machine showed neither side, so that only its ends, known
// to 3 mm, tell how far it slid along its front, and a box before its front at the place.
func (w *world) withPanel(n int, at geom.Pose) *scene.Scene {
	s := w.mapped(n)
	for i := range s.Objects {
		if o := &s.Objects[i]; o.Name == "mill" {
			o.Faces = slices.DeleteFunc(o.Faces, func(f fit.Face) bool { return f.Name == "left-inside" || f.Name == "right-inside" })
			o.Cov = geom.Cov6{{.02}, {1: 9}, {2: .02}, {3: 1e-8}, {4: 1e-8}, {5: 1e-8}}.Turned(o.Pose.R)
		}
	}
	f := w.face("front", at, r3.Vec{X: -100}, by(-100, y), by(200, z), s.Objects[0].Faces[0].Scans...)
	l := w.face("left", at, r3.Vec{X: -50, Y: 100}, by(-50, x), by(200, z), s.Objects[0].Faces[0].Scans...)
	s.Objects = append(s.Objects, w.object("panel", fit.Block, "", at, f, l))
	return s
}

// A panel on the front that went along tells the slide that the ends tell coarsely. A
// handle that was slid on the front, with its leaf, does not, and neither does a box
// beside the machine that stands where it stood.
func TestPanelThatRodeAlongTellsTheSlide(t *testing.T) {
	for _, c := range []struct {
		what  string
		ahead float64 // the machine was pushed, and turned by a third of a milliradian a mm
		slid  float64 // along the front
		still bool
		on    string
	}{{"a panel", 30, 0, false, "panel"}, {"a handle", 30, 11.9, false, Edges}, {"a box beside it", 30, 0, true, Edges}, {"a box beside one that only slid", 0, 0, true, Edges}} {
		w := newWorld(21)
		on := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Y: 400, Z: 1200}}
		at := w.mill.Mul(on)
		old := w.withPanel(7, at)
		before := w.mill
		w.mill = geom.Pose{R: before.R.Mul(geom.Exp(r3.Vec{Z: c.ahead / 3000})), T: r3.Add(before.T, before.R.Apply(r3.Vec{X: c.ahead, Y: 5}))}
		if !c.still {
			on.T.Y += c.slid
			at = w.mill.Mul(on)
		}
		now := w.withPanel(3, at)
		for i := range now.Objects { // the ends are as wrong as they may be, where a handle bears it out least
			if o := &now.Objects[i]; o.Name == "mill" {
				o.Cov = geom.Cov6{{.02}, {1: 1}, {2: .02}, {3: 1e-8}, {4: 1e-8}, {5: 1e-8}}.Turned(o.Pose.R)
			}
		}
		told := Compare(old, now, level)
		m, ok := told.Move("mill")
		if !ok || len(m.Loose) > 0 || len(m.Weak) != 1 || m.Weak[0].On != c.on {
			t.Errorf("%s: told %v, %+v, want one direction by %s", c.what, ok, m.Weak, c.on)
			continue
		}
		if p, ok := told.Move("panel"); !ok || (p.With == "mill") != (c.on == "panel") {
			t.Errorf("%s: told %v, went along with %q", c.what, ok, p.With)
		}
		truth := w.mill.Mul(before.Inverse())
		off := r3.Dot(m.Weak[0].Slide, r3.Sub(m.Pose.Apply(m.Datum.T), truth.Apply(m.Datum.T)))
		if u := m.Known(m.Weak[0].Direction); math.Abs(off) > 1.5*u || (u < 1) != (c.on == "panel") {
			t.Errorf("%s: the slide is told %.2f mm off, known to %.2f mm", c.what, off, u)
		}
	}
}

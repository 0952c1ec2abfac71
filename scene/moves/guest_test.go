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

// A front and a back leave rise, lean and slide of a machine open. The table in it tells
// rise and lean however its axes have moved it, and the slide not at all.
func TestLevelGuestTellsRiseAndLean(t *testing.T) {
	for _, axis := range []float64{0, 150} {
		w := newWorld(22)
		table := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 400, Z: 700}}
		mapped := func(n int) *scene.Scene {
			s := w.mapped(n)
			for i := range s.Objects {
				if o := &s.Objects[i]; o.Name == "mill" {
					o.Faces = slices.DeleteFunc(o.Faces, func(f fit.Face) bool { return f.Name != "front" && f.Name != "back-inside" })
					o.Cov[0][0], o.Cov[1][1] = 1e4, 1e4
				}
			}
			at, scans := w.mill.Mul(table), s.Objects[0].Faces[0].Scans
			s.Objects = append(s.Objects, w.object("block-1", fit.Block, "mill", at,
				w.face("top", at, r3.Vec{}, by(200, x), by(450, y), scans...),
				w.face("left", at, r3.Vec{Y: 450, Z: -50}, by(-200, x), by(50, z), scans...)))
			return s
		}
		old, before := mapped(7), w.mill
		w.mill.T.Z += 4
		table.T.Y += axis
		m, ok := Compare(old, mapped(3), level).Move("mill")
		if !ok || len(m.Loose) != 1 || !goesLevel(m.Loose[0], z) {
			t.Fatalf("table %g mm on: told %v, open %v", axis, ok, m.Loose)
		}
		if rise := m.Shift(before.T).Z; math.Abs(rise-4) > 1 {
			t.Errorf("table %g mm on: it rose by 4 mm, told %.2f", axis, rise)
		}
	}
}

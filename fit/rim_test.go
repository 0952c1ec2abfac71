package fit

import (
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// lipped is a front at x = 1000 with an opening known to 2 mm on all sides and a
// face that looks into it, off mm from its left border and lying deep mm behind.
func lipped(off, deep float64) (*survey, *front) {
	f := &front{frame: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1000}}}
	f.sheet = &sheet{frame: sheetOf(f.frame)}
	f.hole = rect{lo: [2]float64{-300, 700}, hi: [2]float64{300, 1500}}
	for a := range 2 {
		for side := range 2 {
			f.rims[a][side] = border{at: f.hole.edge(a, side), sigma: 2, open: true, closed: true}
		}
	}
	// The left border lies at the datum's Y = +300; its lip looks to -Y.
	lip := tile(r3.Vec{X: 1000 + deep, Y: 300 + off, Z: 1100}, r3.Vec{Y: -1}, 30, 700)
	return handMade(lip), f
}

func TestLipSettlesTheBorder(t *testing.T) {
	s, f := lipped(3, 15)
	s.settleRims(f)
	within(t, "left border on the sheet", f.hole.lo[0], -303, 1e-6)
	within(t, "its sigma", f.rims[0][0].sigma, rimSigma, 0.05)
	within(t, "right border", f.hole.hi[0], 300, 1e-9)
}

func TestWhatIsNoLipSettlesNothing(t *testing.T) {
	for _, c := range []struct {
		name      string
		off, deep float64
	}{{"beside the opening", 40, 15}, {"deep in the machine", 3, 600}} {
		s, f := lipped(c.off, c.deep)
		s.settleRims(f)
		if f.hole.lo[0] != -300 {
			t.Errorf("%s: the border moved to %.1f", c.name, f.hole.lo[0])
		}
	}
}

package fit

import (
	"math"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// A tilted plane that nothing special is true of.
func somePlane() bound {
	n := r3.Unit(r3.Vec{X: 0.3, Y: -0.8, Z: 0.5})
	return bound{Plane: geom.Plane{Normal: n, Offset: 700}, Centre: geom.Plane{Normal: n, Offset: 700}.Foot(r3.Vec{X: 400, Y: 100, Z: -50})}
}

func TestMovedOffsetsAtTheCentreAndTurnsAboutTheFrame(t *testing.T) {
	b := somePlane()
	f := b.Frame(b.Centre)
	if got := b.moved([3]float64{2.5, 0, 0}).Distance(b.Centre); math.Abs(got+2.5) > 1e-9 {
		t.Errorf("moved by 2.5 along its normal, the plane lies %.4f from the old centre", got)
	}
	turned := b.moved([3]float64{0, 0.01, 0})
	if d := turned.Distance(b.Centre); math.Abs(d) > 1e-9 {
		t.Errorf("a turn moved the plane by %g at its centre", d)
	}
	// A turn by w about U lowers what lies at +V: the height at V = v is w v.
	at := r3.Add(b.Centre, r3.Scale(1000, f.R.Axis(1)))
	if got := -turned.Distance(at); math.Abs(got-10) > 0.01 {
		t.Errorf("turned by 10 mrad, the plane stands %.3f mm high at 1 m, want 10", got)
	}
}

func TestPerturbationUndoesMoved(t *testing.T) {
	b := somePlane()
	want := [3]float64{0.7, 2e-4, -3e-4}
	got := perturbation(b.moved(want), b.Frame(b.Centre))
	for i, tol := range [3]float64{1e-6, 1e-7, 1e-7} {
		if math.Abs(got[i]-want[i]) > tol {
			t.Errorf("parameter %d: %g, want %g", i, got[i], want[i])
		}
	}
}

func TestSeenFromAfarTheTurnLifts(t *testing.T) {
	b := somePlane()
	b.Cov[0][0], b.Cov[1][1], b.Cov[2][2] = 0.01, 1e-6, 0
	frame := b.Frame(b.Centre)
	frame.T = r3.Add(frame.T, r3.Scale(2000, frame.R.Axis(1)))
	c := b.seenFrom(frame)
	// sigma^2 = 0.1^2 + (2000 mm * 1 mrad)^2, by hand.
	if want := 0.01 + 4.0; math.Abs(c[0][0]-want) > 1e-3 {
		t.Errorf("variance 2 m off is %.4f mm^2, want %.4f", c[0][0], want)
	}
}

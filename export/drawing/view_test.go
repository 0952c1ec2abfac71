package drawing

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Each view's axes are right-handed, and it looks the way it says.
func TestViewsLookTheWayTheySay(t *testing.T) {
	s := sampleScene()
	third := 1 / math.Sqrt(3)
	for _, c := range []struct {
		v      view
		toward r3.Vec
	}{
		{plan(), r3.Vec{Z: 1}}, {front(), r3.Vec{Y: -1}}, {side(), r3.Vec{X: -1}},
		{corner(0), r3.Vec{X: -third, Y: -third, Z: third}}, {corner(1), r3.Vec{X: third, Y: -third, Z: third}},
		{corner(2), r3.Vec{X: third, Y: third, Z: third}}, {corner(3), r3.Vec{X: -third, Y: third, Z: third}},
	} {
		if d := r3.Norm(r3.Sub(c.v.toward(), c.toward)); d > 1e-12 {
			t.Errorf("%s looks along %v, want %v", c.v.file, c.v.toward(), c.toward)
		}
		if d := r3.Norm(r3.Sub(r3.Cross(c.v.right(), c.v.up()), c.v.toward())); d > 1e-12 {
			t.Errorf("%s is left-handed", c.v.file)
		}
		if c.v.up().Z < 0 {
			t.Errorf("%s stands on its head", c.v.file)
		}
	}
	if into := mill().Pose.R.Axis(0); r3.Dot(isometric(s).toward(), into) > 0 {
		t.Error("the isometric view shows the mill's back")
	}
}

// ISO 5456-3: in an isometric view the three axes are foreshortened alike.
func TestIsometricAxes(t *testing.T) {
	v := corner(0)
	for _, a := range []r3.Vec{axisX, axisY, axisZ} {
		f := v.fromBase.Apply(a)
		if l := math.Hypot(f.X, f.Y); math.Abs(l-math.Sqrt(2./3)) > 1e-12 {
			t.Errorf("axis %v is %g long, want %g", a, l, math.Sqrt(2./3))
		}
	}
}

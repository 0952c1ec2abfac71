package mesh

import (
	"math"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestMoved(t *testing.T) {
	b := box(r3.Vec{X: 300, Y: 200, Z: 100})
	m := Moved(b.Mesh(0), b.Pose.Inverse(), Metre)
	want := geom.Bounds{Min: r3.Vec{X: -0.15, Y: -0.1, Z: -0.05}, Max: r3.Vec{X: 0.15, Y: 0.1, Z: 0.05}}
	if got := m.Bounds(); r3.Norm(r3.Sub(got.Min, want.Min))+r3.Norm(r3.Sub(got.Max, want.Max)) > 1e-12 {
		t.Errorf("in its own frame the box is %v, want %v", got, want)
	}
	if v := m.Volume(); math.Abs(v-0.3*0.2*0.1) > 1e-12 {
		t.Errorf("%g m^3", v)
	}
}

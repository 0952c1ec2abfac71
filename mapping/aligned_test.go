package mapping

import (
	"math"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Each scan's points turn about the point given and are then shifted, samples
// and bounds with them; the other scan's stay.
func TestAlignMovesOneScansPoints(t *testing.T) {
	at := r3.Vec{X: 1000, Y: 200, Z: 300}
	voxel := func(scan int32) Voxel {
		return Voxel{
			Moments: geom.Moments{N: 3, Mean: at}, Scan: scan, Toward: r3.Vec{X: -1}, First: scan, Kept: 1,
			Bounds: geom.Bounds{Min: r3.Sub(at, r3.Vec{X: 5, Y: 5, Z: 5}), Max: r3.Add(at, r3.Vec{X: 5, Y: 5, Z: 5})},
		}
	}
	s := Sample{float32(at.X), float32(at.Y), float32(at.Z)}
	c := &Cloud{Voxels: []Voxel{voxel(0), voxel(1)}, Samples: []Sample{s, s}}
	before := c.Voxels[0]
	by := Aligned{Moves: []Move{{About: r3.Vec{X: 9}}, {Shift: r3.Vec{Z: 2}, Turn: r3.Vec{Z: 1e-3}, About: r3.Vec{Y: 200}}}}
	c.Align(by)
	if c.Voxels[0] != before || c.Samples[0] != s {
		t.Error("a scan that stays was moved")
	}
	// A milliradian about z over 1000 mm.
	want := r3.Add(at, r3.Vec{X: -1000 * (1 - math.Cos(1e-3)), Y: 1000 * math.Sin(1e-3), Z: 2})
	v := c.Voxels[1]
	if d := r3.Norm(r3.Sub(v.Mean, want)); d > 1e-9 {
		t.Errorf("moved to %v, want %v", v.Mean, want)
	}
	if d := r3.Norm(r3.Sub(r3.Scale(0.5, r3.Add(v.Bounds.Min, v.Bounds.Max)), want)); d > 1e-9 {
		t.Errorf("bounds are left %g mm behind", d)
	}
	if got := c.Samples[1]; math.Abs(float64(got[1])-want.Y) > 1e-3 {
		t.Errorf("sample moved to %v", got)
	}
	if math.Abs(v.Toward.Y+1e-3) > 1e-6 {
		t.Errorf("the eye's direction is %v", v.Toward)
	}
	if m := c.Aligned.Middle(); m != (r3.Vec{X: 4.5, Y: 100}) {
		t.Errorf("the scanner's middle is %v", m)
	}
}

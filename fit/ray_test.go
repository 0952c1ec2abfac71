package fit

import (
	"math"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// rayAt is a ray that went through the XY plane at x, y, far from any other.
func rayAt(x, y float64) ray {
	v := &mapping.Voxel{Edge: 5, Range: 1000, Toward: r3.Vec{Z: 1}}
	v.Bounds = geom.NoBounds()
	v.Add(r3.Vec{X: x, Y: y, Z: -500}, 1)
	v.Bounds.Extend(v.Mean)
	r, _ := newRay(v, geom.Identity())
	return r
}

func TestRayGoesThroughWhereTheLineMeetsThePlane(t *testing.T) {
	v := &mapping.Voxel{Range: 500, Toward: r3.Unit(r3.Vec{X: 3, Z: 4})}
	v.Add(r3.Vec{X: 10, Y: 20, Z: -100}, 1)
	r, ok := newRay(v, geom.Identity())
	// The eye stands at (310, 20, 300); a quarter of the way lies behind.
	want := r3.Vec{X: 85, Y: 20}
	if !ok || r3.Norm(r3.Sub(r.through, want)) > 1e-9 || math.Abs(r.part-0.75) > 1e-12 {
		t.Errorf("through %v at %.3f of the way, want %v at 0.75", r.through, r.part, want)
	}
	v.Toward = r3.Vec{Z: -1}
	if _, ok := newRay(v, geom.Identity()); ok {
		t.Error("a ray from behind the sheet went through it")
	}
}

// row of voxels 10 mm apart on a wall 2 m away, seen by an eye that moves along
// with them at a tenth of their speed, through a sheet half-way.
func movingEye(speed float64) []*ray {
	var out []*ray
	for i := range 20 {
		x := 10*float64(i) + 5
		v := &mapping.Voxel{Edge: 10, Bounds: geom.NoBounds()}
		for k := range 10 {
			p := r3.Vec{X: x - 4.5 + float64(k), Y: 5, Z: -1000}
			v.Add(p, 1)
			v.Bounds.Extend(p)
		}
		eye := r3.Vec{X: speed * x, Y: 5, Z: 1000}
		d := r3.Sub(eye, v.Mean)
		v.Range, v.Toward = r3.Norm(d), r3.Unit(d)
		r, _ := newRay(v, geom.Identity())
		out = append(out, &r)
	}
	return out
}

// The rays of neighbouring voxels close up on the sheet: each patch reaches half
// a pitch to both sides, which is (1 + speed)/2 times 10 mm.
func TestRaysOfAMovingEyeCloseUp(t *testing.T) {
	for _, speed := range []float64{0, 0.1, 0.4} {
		rays := movingEye(speed)
		got := spreadOut(rays, geom.Identity())[10]
		pitch := rays[11].through.X - rays[10].through.X
		// Ten points in a row reach 0.9 of the way: sqrt(3) sigma of them is
		// 4.97 of 5, and their bounds stop at 4.5.
		want := pitch / 2 * 0.9
		if math.Abs(got.hi[0]-want) > 0.02*pitch || math.Abs(got.lo[0]-want) > 0.02*pitch {
			t.Errorf("speed %.1f: the patch reaches %.2f and %.2f, want %.2f", speed, got.lo[0], got.hi[0], want)
		}
	}
}

package fit

import (
	"math"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// voxelOf is a voxel of the points as an eye saw them.
func voxelOf(eye r3.Vec, points ...r3.Vec) mapping.Voxel {
	v := mapping.Voxel{Edge: 10, Bounds: geom.NoBounds()}
	for _, p := range points {
		v.Add(p, 1)
		v.Bounds.Extend(p)
	}
	d := r3.Sub(eye, v.Mean)
	v.Range, v.Toward = r3.Norm(d), r3.Unit(d)
	return v
}

func TestSheetSorts(t *testing.T) {
	eye := r3.Vec{Z: 1000}
	at := func(x, z float64) r3.Vec { return r3.Vec{X: x, Z: z} }
	cloud := &mapping.Cloud{
		Noise: mapping.Noise{AtMetre: 0.1},
		Voxels: []mapping.Voxel{
			voxelOf(eye, at(10, 0), at(14, 0.1)),    // on it
			voxelOf(eye, at(20, 0)),                 // on it, but another surface's
			voxelOf(eye, at(-300, -500)),            // behind: through at -200
			voxelOf(eye, at(30, 60)),                // before it
			voxelOf(eye, at(40, 300)),               // far before it: nothing to do with it
			voxelOf(eye, at(50, 1), at(50, -9)),     // straddles an edge
			voxelOf(at(0, -900), at(60, -500)),      // seen from behind
			voxelOf(eye, at(9000, 0), at(9004, .1)), // outside the region
		},
	}
	s := newSurvey(cloud, nil)
	s.owner[1] = 7
	sh := s.newSheet(geom.Identity(), rect{lo: [2]float64{-1000, -1000}, hi: [2]float64{1000, 1000}}, []int{0})
	if len(sh.closed) != 1 || len(sh.open) != 1 || len(sh.proud) != 1 {
		t.Fatalf("%d closed, %d open, %d proud; want 1 of each", len(sh.closed), len(sh.open), len(sh.proud))
	}
	within(t, "middle of the closed patch", sh.closed[0].at[0], 12, 1e-9)
	within(t, "place where the ray went through", sh.open[0].at[0], -200, 1e-9)
	within(t, "place of what stands before it", sh.proud[0].at[0], 30, 1e-9)
}

// Two points reach as far as they lie, by their bounds; points spread evenly over
// a square reach its rim, by sqrt(3) sigma.
func TestExtent(t *testing.T) {
	v := voxelOf(r3.Vec{Z: 1000}, r3.Vec{X: 10}, r3.Vec{X: 14})
	if lo, hi := extent(&v, r3.Vec{X: 1}); lo != 2 || hi != 2 {
		t.Errorf("two points reach %g and %g, want 2", lo, hi)
	}
	var square []r3.Vec
	for i := range 30 {
		for j := range 30 {
			square = append(square, r3.Vec{X: float64(i) / 3, Y: float64(j) / 3})
		}
	}
	v = voxelOf(r3.Vec{Z: 1000}, square...)
	diagonal := r3.Unit(r3.Vec{X: 1, Y: 1})
	lo, hi := extent(&v, r3.Vec{X: 1})
	within(t, "reach along a side", lo+hi, 29.0/3, 0.4)
	lo, hi = extent(&v, diagonal)
	if lo+hi > 29.0/3*1.05 { // not the corners, where next to nothing is
		t.Errorf("reach along the diagonal %.2f", lo+hi)
	}
}

// A face 30 mm wide that ends in a rim 25 mm deep, seen from a frame that is turned
// by 13 degrees against the axes: the bounds of such points have a corner several
// mm before the edge, and the edge lies between that and what is vague of it.
func TestExtentOfARimIsVague(t *testing.T) {
	turned := geom.Pose{R: geom.Exp(r3.Vec{Y: 13 * math.Pi / 180})}
	var points []r3.Vec
	for y := range 4 {
		for x := 0.0; x < 30; x += 2.5 {
			points = append(points, turned.Apply(r3.Vec{X: x, Y: float64(y)}))
		}
		for z := 0.0; z < 25; z += 2.5 {
			points = append(points, turned.Apply(r3.Vec{Y: float64(y), Z: -z}))
		}
	}
	v := voxelOf(turned.Apply(r3.Vec{Z: 1000}), points...)
	s := newSurvey(&mapping.Cloud{Noise: mapping.Noise{AtMetre: 0.3}, Voxels: []mapping.Voxel{v}}, nil)
	p := s.patchOf(&v, turned.Inverse().Apply(v.Mean), turned)
	first := p.at[0] - p.lo[0]
	if first > -2 || first+p.vague[0] < 0 {
		t.Errorf("the edge at 0 is said to lie in %.1f to %.1f", first, first+p.vague[0])
	}
	if p.vague[1] > 0.1 {
		t.Errorf("along the rim %.2f mm are vague", p.vague[1])
	}
}

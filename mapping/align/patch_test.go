package align_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/align"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// A tilted square with noise, spikes and, beside it, a heap.
func TestPatchesOfAPlaneWithSpikes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 7))
	frame := geom.Pose{R: geom.RotFromRPY(0.4, -0.3, 0.2), T: r3.Vec{X: 500, Y: 300, Z: 200}}
	n := frame.R.Axis(2)
	type seen struct{ at r3.Vec }
	var points []seen
	for i := range 40000 {
		p := r3.Vec{X: 800 * (rng.Float64() - 0.5), Y: 800 * (rng.Float64() - 0.5), Z: 0.4 * rng.NormFloat64()}
		if i%200 == 0 {
			p.Z += 30 * rng.Float64() // metal in a strong light
		}
		points = append(points, seen{frame.Apply(p)})
	}
	for range 2000 {
		points = append(points, seen{r3.Vec{X: -900 + 90*rng.Float64(), Y: 90 * rng.Float64(), Z: 90 * rng.Float64()}})
	}
	cells := align.Cells{}
	add := func() {
		for _, p := range points {
			cells.Add(0, geom.Moments{N: 1, Mean: p.at}, r3.Scale(-1, n), nil)
		}
	}
	add()
	cells.Trim()
	add()
	cells.Trim()
	add()
	patches := cells.Patches()
	if len(patches) < 40 {
		t.Fatalf("%d patches of a surface of 64 cells", len(patches))
	}
	for _, p := range patches {
		if p.Mean.X < -700 {
			t.Errorf("a heap passes for a patch: rough %.1f mm", p.Rough)
		}
		if r3.Dot(p.Normal, n) > -math.Cos(0.1) {
			t.Errorf("normal %v, want it toward the eye, %v", p.Normal, r3.Scale(-1, n))
		}
		// Five deviations of the mean of so many points with noise 0.4.
		if off := r3.Dot(n, r3.Sub(p.Mean, frame.T)); math.Abs(off) > 5*0.4/math.Sqrt(p.N) {
			t.Errorf("a patch of %.0f points lies %.3f mm off", p.N, off)
		}
		if p.Rough > 0.6 {
			t.Errorf("rough %.2f mm, drawn with 0.4", p.Rough)
		}
	}
}

package mapping

import (
	"testing"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
	"cellwall/mapping/sight"

	"gonum.org/v1/gonum/spatial/r3"
)

// A still scan's rays cross from its eye to just before what they met.
func TestStillScansCrossUpToTheirVoxels(t *testing.T) {
	g, err := sight.New(arm.Reach{Centres: []r3.Vec{{}}, Radius: 1000}, 40, 20)
	if err != nil {
		t.Fatal(err)
	}
	eye := r3.Vec{X: -3000, Y: 10, Z: 10} // beyond the grid
	var wall []Voxel
	for y := -200.0; y <= 200; y += 10 {
		for z := -200.0; z <= 200; z += 10 {
			p := r3.Vec{X: 500, Y: y, Z: z}
			d, h := r3.Sub(eye, p), r3.Vec{X: 5, Y: 5, Z: 5}
			wall = append(wall, Voxel{
				Moments: geom.Moments{N: 20, Mean: p}, Edge: 10, Toward: r3.Unit(d), Range: r3.Norm(d),
				Bounds: geom.Bounds{Min: r3.Sub(p, h), Max: r3.Add(p, h)},
			})
		}
	}
	noise := Noise{Constant: 2}
	crossStill(g, wall, noise)
	l := g.Lattice()
	for x := -900.0; x < 900; x += 20 {
		for _, y := range []float64{-90, 10, 90} {
			c := l.At(r3.Vec{X: x + 10, Y: y, Z: 50})
			got := g.Crossed().Has(c)
			// The eye lies level; clear ends 4 x 2 mm of noise and the voxel's half before 500.
			if want := x+20 < 500-8-9; got != want {
				t.Errorf("at x = %g, y = %g crossed is %v", x, y, got)
			}
		}
	}
}

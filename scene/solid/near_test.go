package solid

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A point over a face of a turned box, an edge or a corner: distances follow
// from Pythagoras.
func TestNearOnABox(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 21))
	for range 500 {
		pose := randomPose(r)
		half := r3.Vec{X: logUniform(r, 1, 500), Y: logUniform(r, 1, 500), Z: logUniform(r, 1, 500)}
		var points []r3.Vec
		for i := range 8 {
			points = append(points, pose.Apply(r3.Vec{X: half.X * float64(i&1*2-1), Y: half.Y * float64(i&2-1), Z: half.Z * float64(i&4/2-1)}))
		}
		at := r3.Vec{X: half.X * 3 * (r.Float64() - .5), Y: half.Y * 3 * (r.Float64() - .5), Z: half.Z * 3 * (r.Float64() - .5)}
		out := r3.Vec{X: max(0, abs(at.X)-half.X), Y: max(0, abs(at.Y)-half.Y), Z: max(0, abs(at.Z)-half.Z)}
		d := r3.Norm(out)
		p := pose.Apply(at)
		if d > 1e-6 && near(p, points, d-1e-6) {
			t.Fatalf("near within %g, but it is %g away", d-1e-6, d)
		}
		if !near(p, points, d+1e-6) {
			t.Fatalf("not near within %g, but it is %g away", d+1e-6, d)
		}
	}
}

func abs(x float64) float64 { return max(x, -x) }

package evidence

import (
	"math"
	"testing"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// A plane at an angle: only what the covariance says along its normal counts.
func TestDistance(t *testing.T) {
	r := geom.RotFromRPY(0.7, 0.2, -1)
	o := &scene.Object{Object: fit.Object{Kind: fit.Wall, Pose: geom.Pose{R: r, T: r3.Scale(-1600, r.Axis(2))}}}
	along, across := 0.3, 25.
	for i := range 3 {
		for j := range 3 {
			for k, sigma := range [3]float64{across, across, along} {
				o.Cov[i][j] += r[i][k] * sigma * sigma * r[j][k]
			}
		}
	}
	d := Distance(o)
	if math.Abs(d.Value-1600) > 1e-9 || math.Abs(d.Sigma-along) > 1e-9 {
		t.Errorf("%g with sigma %g, want 1600 with %g", d.Value, d.Sigma, along)
	}
	if !Flat(o) || Flat(&scene.Object{Object: fit.Object{Kind: fit.Table}}) {
		t.Error("a wall is flat, a table is not")
	}
}

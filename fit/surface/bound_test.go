package surface

import (
	"math"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// bound is the Cramer-Rao bound, in the frame of the true plane at the surface's
// centre, of a plane through the voxels that the surface rests on, those off its
// rim: the inverse of the sum over their points of x x^T / (sigma(r) cos)^2, for
// noise lies along the ray (Kay, Fundamentals of Statistical Signal Processing
// 1, 4.3: the linear model).
func bound(c *mapping.Cloud, s *Surface, truth geom.Plane) (frame geom.Pose, cov mat3) {
	frame = truth.Frame(truth.Foot(s.Centre))
	inFrame := func(p r3.Vec) r2.Vec {
		q := frame.Inverse().Apply(p)
		return r2.Vec{X: q.X, Y: q.Y}
	}
	var rim []r2.Vec
	for _, p := range s.Outline {
		rim = append(rim, inFrame(p))
	}
	var info mat3
	for _, v := range s.Voxels {
		x := &c.Voxels[v]
		if p := inFrame(x.Mean); !flat.Contains(rim, p) || flat.ToRim(rim, p) < float64(x.Edge) {
			continue
		}
		sd := c.Noise.Sigma(x.Range) * r3.Dot(x.Toward, truth.Normal)
		a, _ := normal(x.Moments.Weighted(1/(sd*sd)), frame)
		info = info.plus(a)
	}
	cov, _ = info.inverse()
	return frame, cov
}

// With noise alone, the offset and both turns of what is found err by no more
// than 1.3 times the Cramer-Rao bound, rms, on a floor that is grazed, a wall
// seen askew, and a jaw's face near by.
func TestErrorsNearTheCramerRaoBound(t *testing.T) {
	if testing.Short() {
		t.Skip("looks at 180 rooms")
	}
	const runs = 60
	for name, c := range map[string]struct {
		q quad
		l []look
	}{
		"floor": {
			quad{r3.Vec{X: 0, Y: -2500}, r3.Vec{X: 3800, Z: 40}, r3.Vec{Y: 5000}},
			[]look{{r3.Vec{Y: -300, Z: 1000}, r3.Vec{Y: 300, Z: 1000}, r3.Vec{X: 1, Z: -0.7}, r3.Vec{X: 0.7, Z: 1}, 100, 160, 1.0}},
		},
		"wall": {
			quad{r3.Vec{X: 600, Y: 1800}, r3.Vec{X: 2400, Y: 90}, r3.Vec{Z: 2000}},
			[]look{
				{r3.Vec{X: 100, Y: 100, Z: 700}, r3.Vec{X: 500, Y: 100, Z: 700}, r3.Vec{X: 0.8, Y: 1}, r3.Vec{Z: 1}, 100, 160, 0.9},
				{r3.Vec{X: 200, Y: 0, Z: 900}, r3.Vec{X: 600, Y: 0, Z: 900}, r3.Vec{X: 0.8, Y: 1}, r3.Vec{Z: 1}, 100, 160, 0.9},
			},
		},
		"jaw": {
			quad{r3.Vec{X: 700, Y: -75}, r3.Vec{Y: 150}, r3.Vec{X: 2, Z: 45}},
			[]look{{r3.Vec{X: 300, Y: -80, Z: 250}, r3.Vec{X: 300, Y: 80, Z: 250}, r3.Vec{X: 1, Z: -0.6}, r3.Vec{X: 0.6, Z: 1}, 100, 160, 0.5}},
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var squares [3]float64
			for seed := range uint64(runs) {
				cloud := scanner{atMetre: 0.15, seed: 100 + seed}.scan(world{quads: []quad{c.q}}, c.l...)
				s := found(Find(cloud), c.q)
				if s == nil {
					t.Fatalf("seed %d: not found", 100+seed)
				}
				truth := c.q.plane()
				if r3.Dot(truth.Normal, s.Plane.Normal) < 0 {
					truth = geom.Plane{Normal: r3.Scale(-1, truth.Normal), Offset: -truth.Offset}
				}
				frame, cov := bound(cloud, s, truth)
				axes := frame.R
				turn := r3.Cross(truth.Normal, s.Plane.Normal)
				for i, e := range [3]float64{truth.Distance(s.Centre), r3.Dot(turn, axes.Axis(0)), r3.Dot(turn, axes.Axis(1))} {
					squares[i] += e * e / cov[i][i] / runs
				}
			}
			ratio := [3]float64{math.Sqrt(squares[0]), math.Sqrt(squares[1]), math.Sqrt(squares[2])}
			t.Logf("rms error over the bound: offset %.2f, turns %.2f and %.2f", ratio[0], ratio[1], ratio[2])
			for i, r := range ratio {
				// Far below one the bound would be that of other points than were used; the
				// outline tells to a cell which those are, and sixty runs scatter by 0.09.
				if r > 1.3 || r < 0.65 {
					t.Errorf("parameter %d: %.2f times the bound, want at most 1.3", i, r)
				}
			}
		})
	}
}

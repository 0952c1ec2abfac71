package surface

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/fit/surface/shape"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// By differences: each parameter of the cylinder is moved a little, and the plane
// that touches it where the first one did is compared.
func TestTangentFollowsTheCylinder(t *testing.T) {
	c := column{Cylinder: shape.Cylinder{
		Point: r3.Vec{X: 300, Y: -40, Z: 700}, Axis: r3.Unit(r3.Vec{X: 0.2, Y: 0.1, Z: 1}), Radius: 60,
	}}
	touch := func(c shape.Cylinder, toward r3.Vec) geom.Plane {
		n := r3.Unit(c.Radial(toward))
		at := r3.Add(c.Point, r3.Scale(c.Radius, n))
		return geom.Plane{Normal: n, Offset: r3.Dot(n, at)}
	}
	side := geom.Plane{Normal: c.Axis}.Frame(c.Point).R
	toward := r3.Add(r3.Add(c.Point, r3.Scale(350, c.Axis)), r3.Scale(c.Radius, r3.Unit(r3.Add(side.Axis(0), r3.Scale(0.4, side.Axis(1))))))
	pl := touch(c.Cylinder, toward)
	frame := pl.Frame(toward)
	const h = 1e-6
	j := c.touch(frame)
	for k := range 5 {
		d := c.Cylinder
		switch k {
		case 0, 1:
			d.Point = r3.Add(d.Point, r3.Scale(h, side.Axis(k)))
		case 2, 3:
			d.Axis = r3.Unit(r3.Add(d.Axis, r3.Scale(h, side.Axis(k-2))))
		case 4:
			d.Radius += h
		}
		q := touch(d, toward)
		w := r3.Cross(pl.Normal, q.Normal)
		want := vec3{-q.Distance(toward) / h, r3.Dot(w, frame.R.Axis(0)) / h, r3.Dot(w, frame.R.Axis(1)) / h}
		for row := range 3 {
			if got := j[row][k]; math.Abs(got-want[row]) > 1e-3 {
				t.Errorf("parameter %d moves row %d by %g, want %g", k, row, got, want[row])
			}
		}
	}
}

// The budget is what the fits of many noisy copies scatter by: of a pillar that two
// sweeps saw from two places, on arcs of which a part only is the same, each sweep
// off as a rigid body.
func TestRoundBudgetAgainstMonteCarlo(t *testing.T) {
	const runs, radius, noise = 300, 150.0, 0.3
	rng := rand.New(rand.NewPCG(17, 0))
	sways := sway{shift: 0.04, turn: 0.09}
	vector := func(v float64) r3.Vec {
		return r3.Scale(math.Sqrt(v), r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
	}
	eyes := [2]r3.Vec{{X: -1800, Y: -500, Z: 900}, {X: -1200, Y: 900, Z: 300}}
	var sum, stated [5]float64
	for range runs {
		f := field{tree: &tree{}}
		c := column{Cylinder: shape.Cylinder{Axis: r3.Vec{Z: 1}, Radius: radius, Point: r3.Vec{Z: 600}}}
		for scan, eye := range eyes {
			shift, turn := vector(sways.shift), vector(sways.turn/reach2(eye))
			for i := range 240 {
				// As far round as the scanner sees: less on one side than on the other.
				a := math.Atan2(eye.Y, eye.X) + 1.4*(float64(i%24)/23-0.6)
				p := r3.Vec{X: radius * math.Cos(a), Y: radius * math.Sin(a), Z: 40 * float64(i/24) * float64(scan+2)}
				n := r3.Unit(r3.Vec{X: p.X, Y: p.Y})
				ray := r3.Unit(r3.Sub(eye, p))
				off := r3.Add(shift, r3.Cross(turn, r3.Sub(p, eye)))
				off = r3.Add(off, r3.Scale(noise*rng.NormFloat64(), ray))
				f.spots = append(f.spots, spot{
					Moments: geom.Moments{N: 1, Mean: r3.Add(p, r3.Scale(r3.Dot(off, n), n))},
					toward:  ray, eye: eye, noise: noise * noise, drift: 0.1, scan: int32(scan),
				})
				c.members = append(c.members, int32(len(f.spots)-1))
			}
		}
		fit, cov, reach, err := shape.FitCylinder(f.sets(c.members), c.Cylinder)
		if err != nil {
			t.Fatal(err)
		}
		b := roundBudget(f.gripsOf(&c, reach), cov, reach, 1, sways, nil).Total()
		axes := geom.Plane{Normal: fit.Axis}.Frame(fit.Point).R
		at := r3.Sub(fit.Point, r3.Vec{Z: fit.Point.Z}) // the true axis is base Z
		for k, d := range [5]float64{
			r3.Dot(at, axes.Axis(0)), r3.Dot(at, axes.Axis(1)),
			-r3.Dot(axes.Axis(0), r3.Vec{Z: 1}), -r3.Dot(axes.Axis(1), r3.Vec{Z: 1}), fit.Radius - radius,
		} {
			sum[k] += d * d / runs
			stated[k] += b[k][k] / runs
		}
	}
	for k := range sum {
		// A standard deviation from so many runs scatters by 1/sqrt(2 runs).
		if got := math.Sqrt(sum[k] / stated[k]); math.Abs(got-1) > 3.5/math.Sqrt(2*runs) {
			t.Errorf("parameter %d scatters by %.3g, %.2f times what is stated", k, math.Sqrt(sum[k]), got)
		}
	}
}

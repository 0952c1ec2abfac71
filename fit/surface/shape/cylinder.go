package shape

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Cylinder is an infinite one: a point of its axis, the axis' unit direction.
type Cylinder struct {
	Point, Axis r3.Vec
	Radius      float64
}

// Distance of p from the cylinder: negative inside.
func (c Cylinder) Distance(p r3.Vec) float64 { return r3.Norm(c.Radial(p)) - c.Radius }

// Radial is the part of p, counted from the axis, that is square to it.
func (c Cylinder) Radial(p r3.Vec) r3.Vec {
	d := r3.Sub(p, c.Point)
	return r3.Sub(d, r3.Scale(r3.Dot(d, c.Axis), c.Axis))
}

// Spread is the distance from the cylinder of a set of points taken together: of
// the root mean square of their distances from the axis. The mean point of a
// set that bends round the axis lies inside the cylinder; this does not.
func (c Cylinder) Spread(m geom.Moments) float64 {
	across := m.Scatter[0] + m.Scatter[3] + m.Scatter[5] - m.Scatter.Form(c.Axis)
	return math.Sqrt(r3.Norm2(c.Radial(m.Mean))+max(across, 0)/m.N) - c.Radius
}

// FitCylinder minimises the weighted squared distances of the sets of points,
// each taken together (a single point is a set of one), by Gauss-Newton from
// start. N of a set is its weight. cov is that of the axis' two offsets square
// to itself at the centroid, its two turns times reach, and the radius, where
// weights are inverse variances; reach is the sets' root mean square distance
// along the axis.
func FitCylinder(sets []geom.Moments, start Cylinder) (c Cylinder, cov *mat.SymDense, reach float64, err error) {
	if len(sets) < 5 {
		return start, nil, 0, ErrUndetermined
	}
	c = start.centredOn(sets)
	reach = c.reach(sets)
	if reach == 0 {
		return start, nil, 0, ErrUndetermined
	}
	cov, err = descend(func() *normalEquations {
		return c.equations(sets, reach)
	}, func(s []float64) {
		f := geom.Plane{Normal: c.Axis}.Frame(c.Point).R
		c.Point = r3.Add(c.Point, r3.Add(r3.Scale(s[0], f.Axis(0)), r3.Scale(s[1], f.Axis(1))))
		c.Axis = r3.Unit(r3.Add(c.Axis, r3.Add(r3.Scale(s[2]/reach, f.Axis(0)), r3.Scale(s[3]/reach, f.Axis(1)))))
		c.Radius += s[4]
	})
	return c, cov, reach, err
}

// centredOn moves the point along the axis to the sets' centroid.
func (c Cylinder) centredOn(sets []geom.Moments) Cylinder {
	var sum, n float64
	for _, m := range sets {
		sum += m.N * r3.Dot(r3.Sub(m.Mean, c.Point), c.Axis)
		n += m.N
	}
	c.Point = r3.Add(c.Point, r3.Scale(sum/n, c.Axis))
	return c
}

func (c Cylinder) reach(sets []geom.Moments) float64 {
	var sum, n float64
	for _, m := range sets {
		t := r3.Dot(r3.Sub(m.Mean, c.Point), c.Axis)
		sum += m.N*t*t + m.Scatter.Form(c.Axis)
		n += m.N
	}
	return math.Sqrt(sum / n)
}

func (c Cylinder) equations(sets []geom.Moments, reach float64) *normalEquations {
	e := &normalEquations{n: 5}
	f := geom.Plane{Normal: c.Axis}.Frame(c.Point)
	for _, m := range sets {
		e.add([most]float64(gradient(f, m, reach)), c.Spread(m), m.N)
	}
	return e
}

// Gradient of Spread in the parameters that FitCylinder's covariance speaks of.
// With the mean at x, y square to the axis and t along it, the mean square distance
// from the axis is x^2 + y^2 + the variances of x and y, and turning the axis moves
// every point square to it by -t.
func (c Cylinder) Gradient(m geom.Moments, reach float64) [5]float64 {
	return gradient(geom.Plane{Normal: c.Axis}.Frame(c.Point), m, reach)
}

func gradient(f geom.Pose, m geom.Moments, reach float64) [5]float64 {
	p := f.R.T().Apply(r3.Sub(m.Mean, f.T))
	u, v, a := f.R.Axis(0), f.R.Axis(1), f.R.Axis(2)
	sa := mul(m.Scatter, a)
	xx := p.X*p.X + max(m.Scatter.Form(u), 0)/m.N
	yy := p.Y*p.Y + max(m.Scatter.Form(v), 0)/m.N
	rho := math.Sqrt(xx + yy)
	tx, ty := p.Z*p.X+r3.Dot(u, sa)/m.N, p.Z*p.Y+r3.Dot(v, sa)/m.N
	return [5]float64{-p.X / rho, -p.Y / rho, -tx / (rho * reach), -ty / (rho * reach), -1}
}

func mul(s geom.Sym3, v r3.Vec) r3.Vec {
	return r3.Vec{X: s[0]*v.X + s[1]*v.Y + s[2]*v.Z, Y: s[1]*v.X + s[3]*v.Y + s[4]*v.Z, Z: s[2]*v.X + s[4]*v.Y + s[5]*v.Z}
}

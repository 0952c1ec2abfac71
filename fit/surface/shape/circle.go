package shape

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// Circle in a plane, mm.
type Circle struct {
	Centre r2.Vec
	Radius float64
}

// Distance of p from the circle: negative inside.
func (c Circle) Distance(p r2.Vec) float64 { return r2.Norm(r2.Sub(p, c.Centre)) - c.Radius }

// Squares is the sum of squared distances, mm^2.
func (c Circle) Squares(pts []r2.Vec) float64 {
	var s float64
	for _, p := range pts {
		s += c.Distance(p) * c.Distance(p)
	}
	return s
}

// AlgebraicCircle minimises the sum of (|p|^2 + b.p + c)^2, which is linear and
// needs no start (Gander, Golub and Strebel, BIT 34 (1994) 558, section 2, with
// the leading coefficient one). It leans to small circles where the arc is
// short.
func AlgebraicCircle(pts []r2.Vec) (Circle, error) {
	if len(pts) < 3 {
		return Circle{}, ErrUndetermined
	}
	var mean r2.Vec
	for _, p := range pts {
		mean = r2.Add(mean, r2.Scale(1/float64(len(pts)), p))
	}
	e := &normalEquations{n: 3}
	for _, p := range pts {
		q := r2.Sub(p, mean)
		e.add([most]float64{q.X, q.Y, 1}, r2.Norm2(q), 1)
	}
	b, _, err := e.solve()
	if err != nil {
		return Circle{}, err
	}
	c := r2.Vec{X: -b[0] / 2, Y: -b[1] / 2}
	return Circle{Centre: r2.Add(mean, c), Radius: math.Sqrt(r2.Norm2(c) - b[2])}, nil
}

// FitCircle minimises the squared orthogonal distances by Gauss-Newton from the
// algebraic circle (Gander, Golub and Strebel 1994, section 3). cov is the
// covariance of centre and radius for unit variance of the points.
func FitCircle(pts []r2.Vec) (c Circle, cov *mat.SymDense, err error) {
	if c, err = AlgebraicCircle(pts); err != nil {
		return c, nil, err
	}
	cov, err = descend(func() *normalEquations {
		e := &normalEquations{n: 3}
		for _, p := range pts {
			d := r2.Sub(p, c.Centre)
			rho := r2.Norm(d)
			e.add([most]float64{-d.X / rho, -d.Y / rho, -1}, rho-c.Radius, 1)
		}
		return e
	}, func(s []float64) {
		c.Centre = r2.Add(c.Centre, r2.Vec{X: s[0], Y: s[1]})
		c.Radius += s[2]
	})
	return c, cov, err
}

// CircleThrough is the circle through three points; ok is false where they lie
// on one line.
func CircleThrough(a, b, c r2.Vec) (circle Circle, ok bool) {
	p, q := r2.Sub(b, a), r2.Sub(c, a)
	d := 2 * r2.Cross(p, q)
	if d == 0 {
		return Circle{}, false
	}
	pp, qq := r2.Norm2(p), r2.Norm2(q)
	u := r2.Vec{X: (q.Y*pp - p.Y*qq) / d, Y: (p.X*qq - q.X*pp) / d}
	return Circle{Centre: r2.Add(a, u), Radius: r2.Norm(u)}, true
}

package shape

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Sphere in space, mm.
type Sphere struct {
	Centre r3.Vec
	Radius float64
}

// Distance of p from the sphere: negative inside.
func (s Sphere) Distance(p r3.Vec) float64 { return r3.Norm(r3.Sub(p, s.Centre)) - s.Radius }

// FitSphere minimises the squared orthogonal distances by Gauss-Newton from the
// algebraic sphere, the linear fit of |p|^2 + b.p + c = 0. cov is the covariance
// of centre and radius for unit variance of the points.
func FitSphere(pts []r3.Vec) (s Sphere, cov *mat.SymDense, err error) {
	if s, err = algebraicSphere(pts); err != nil {
		return s, nil, err
	}
	cov, err = descend(func() *normalEquations {
		e := &normalEquations{n: 4}
		for _, p := range pts {
			d := r3.Sub(p, s.Centre)
			rho := r3.Norm(d)
			e.add([most]float64{-d.X / rho, -d.Y / rho, -d.Z / rho, -1}, rho-s.Radius, 1)
		}
		return e
	}, func(x []float64) {
		s.Centre = r3.Add(s.Centre, r3.Vec{X: x[0], Y: x[1], Z: x[2]})
		s.Radius += x[3]
	})
	return s, cov, err
}

func algebraicSphere(pts []r3.Vec) (Sphere, error) {
	if len(pts) < 4 {
		return Sphere{}, ErrUndetermined
	}
	var mean r3.Vec
	for _, p := range pts {
		mean = r3.Add(mean, r3.Scale(1/float64(len(pts)), p))
	}
	e := &normalEquations{n: 4}
	for _, p := range pts {
		q := r3.Sub(p, mean)
		e.add([most]float64{q.X, q.Y, q.Z, 1}, r3.Norm2(q), 1)
	}
	b, _, err := e.solve()
	if err != nil {
		return Sphere{}, err
	}
	c := r3.Vec{X: -b[0] / 2, Y: -b[1] / 2, Z: -b[2] / 2}
	return Sphere{Centre: r3.Add(mean, c), Radius: math.Sqrt(r3.Norm2(c) - b[3])}, nil
}

// Package shape fits circles, spheres and cylinders by least squares of the
// orthogonal distance. Lengths are mm.
package shape

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// ErrUndetermined says that the points do not determine the shape: too few of
// them, or all in one line or plane.
var ErrUndetermined = errors.New("the points do not determine the shape")

// steps is the most that descend takes. Near the solution each step about
// squares the error, so a dozen does from any start worth its name.
const steps = 50

// still is the step, in mm or in mm per reach of the points, below which a fit
// has settled: far below what any scanner resolves, far above rounding.
const still = 1e-9

// most is how many parameters a shape has at most.
const most = 5

// normalEquations gathers J^T W J and J^T W r for n parameters.
type normalEquations struct {
	n int
	a [most * most]float64 // n x n of them, the upper triangle filled
	b [most]float64
}

// add takes in an observation with residual r, its gradient j and weight w.
func (e *normalEquations) add(j [most]float64, r, w float64) {
	for i := range e.n {
		wj := w * j[i]
		for k := i; k < e.n; k++ {
			e.a[i*e.n+k] += wj * j[k]
		}
		e.b[i] += wj * r
	}
}

// solve returns the step that brings the residuals down, and the inverse of J^T
// W J: the covariance for weights that are inverse variances.
func (e *normalEquations) solve() (step []float64, cov *mat.SymDense, err error) {
	var c mat.Cholesky
	if !c.Factorize(mat.NewSymDense(e.n, e.a[:e.n*e.n])) || c.Cond() > 1e14 {
		return nil, nil, ErrUndetermined
	}
	var x mat.VecDense
	if err := c.SolveVecTo(&x, mat.NewVecDense(e.n, e.b[:e.n])); err != nil {
		return nil, nil, ErrUndetermined
	}
	cov = mat.NewSymDense(e.n, nil)
	if err := c.InverseTo(cov); err != nil {
		return nil, nil, ErrUndetermined
	}
	x.ScaleVec(-1, &x)
	return x.RawVector().Data, cov, nil
}

// descend does Gauss-Newton steps: equations sums up at the present estimate,
// apply moves it. It returns the covariance at the end.
func descend(equations func() *normalEquations, apply func(step []float64)) (*mat.SymDense, error) {
	for range steps {
		step, cov, err := equations().solve()
		if err != nil {
			return nil, err
		}
		apply(step)
		largest := 0.0
		for _, s := range step {
			largest = max(largest, math.Abs(s))
		}
		if math.IsNaN(largest) {
			return nil, ErrUndetermined
		}
		if largest < still {
			return cov, nil
		}
	}
	return nil, ErrUndetermined
}

package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Cov6 is the covariance of a pose for the perturbation of Pose.Perturb:
// translation of the child's origin (mm) first, then the rotation vector (rad),
// both in the parent's axes.
type Cov6 [6][6]float64

// SigmaT is the standard deviation of the origin along the parent's axes, mm.
func (c Cov6) SigmaT() r3.Vec {
	return r3.Vec{X: math.Sqrt(c[0][0]), Y: math.Sqrt(c[1][1]), Z: math.Sqrt(c[2][2])}
}

// SigmaR is the standard deviation of the rotation about the parent's axes, rad.
func (c Cov6) SigmaR() r3.Vec {
	return r3.Vec{X: math.Sqrt(c[3][3]), Y: math.Sqrt(c[4][4]), Z: math.Sqrt(c[5][5])}
}

// Plus is the covariance of two independent contributions.
func (c Cov6) Plus(d Cov6) Cov6 {
	for i := range c {
		for j := range c[i] {
			c[i][j] += d[i][j]
		}
	}
	return c
}

// Times is the covariance of f times the variance.
func (c Cov6) Times(f float64) Cov6 {
	for i := range c {
		for j := range c[i] {
			c[i][j] *= f
		}
	}
	return c
}

// At moves the point that the covariance speaks of by lever (mm, parent axes)
// while the body stays rigid: dt' = dt + dw x lever.
func (c Cov6) At(lever r3.Vec) Cov6 {
	j := [6][6]float64{
		{1, 0, 0, 0, lever.Z, -lever.Y},
		{0, 1, 0, -lever.Z, 0, lever.X},
		{0, 0, 1, lever.Y, -lever.X, 0},
		{3: 1}, {4: 1}, {5: 1},
	}
	return c.Through(j)
}

// Turned expresses the covariance in axes turned by r: parentFromOld.
func (c Cov6) Turned(r Rot) Cov6 {
	var j [6][6]float64
	for a := range 3 {
		for b := range 3 {
			j[a][b], j[a+3][b+3] = r[a][b], r[a][b]
		}
	}
	return c.Through(j)
}

// Through is J c J^T, the law of propagation (JCGM 100:2008, 5.2.2).
func (c Cov6) Through(j [6][6]float64) Cov6 {
	var jc, out Cov6
	for a := range 6 {
		for b := range 6 {
			for k := range 6 {
				jc[a][b] += j[a][k] * c[k][b]
			}
		}
	}
	for a := range 6 {
		for b := range 6 {
			for k := range 6 {
				out[a][b] += jc[a][k] * j[b][k]
			}
		}
	}
	return out
}

package geom

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// Pose is a rigid motion, named parentFromChild: it maps child coordinates to
// parent coordinates as R p + T, T in millimetres.
type Pose struct {
	R Rot
	T r3.Vec
}

// Identity is the pose of a frame in itself.
func Identity() Pose { return Pose{R: IdentityRot()} }

// Apply maps the point p from child to parent.
func (a Pose) Apply(p r3.Vec) r3.Vec { return r3.Add(a.R.Apply(p), a.T) }

// Mul chains parentFromMiddle and middleFromChild into parentFromChild.
func (a Pose) Mul(b Pose) Pose { return Pose{R: a.R.Mul(b.R), T: a.Apply(b.T)} }

// Inverse turns parentFromChild into childFromParent.
func (a Pose) Inverse() Pose {
	r := a.R.T()
	return Pose{R: r, T: r3.Scale(-1, r.Apply(a.T))}
}

// Perturb moves the child's origin by d[0:3] mm and turns the child about its
// own origin by the rotation vector d[3:6], both given in the parent's axes.
// It is the perturbation that every covariance in this module describes.
func (a Pose) Perturb(d [6]float64) Pose {
	return Pose{
		R: Exp(r3.Vec{X: d[3], Y: d[4], Z: d[5]}).Mul(a.R),
		T: r3.Add(a.T, r3.Vec{X: d[0], Y: d[1], Z: d[2]}),
	}
}

// Minus is the d for which b.Perturb(d) equals a.
func (a Pose) Minus(b Pose) [6]float64 {
	t := r3.Sub(a.T, b.T)
	w := a.R.Mul(b.R.T()).Log()
	return [6]float64{t.X, t.Y, t.Z, w.X, w.Y, w.Z}
}

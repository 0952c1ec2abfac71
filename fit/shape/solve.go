package shape

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// row is the Jacobian of a point's distance to the surface for a displacement of
// the model's middle and a turn about it, base axes: with n the normal at the foot
// and c the middle,
//
//	r = n . (p - foot),  dr = -n . dt - ((p - c) x n) . dw
//
// A displacement of the sweep's points by the same acts alike.
func (p *point) row(c r3.Vec) [6]float64 {
	a := r3.Cross(r3.Sub(p.at, c), p.normal)
	return [6]float64{-p.normal.X, -p.normal.Y, -p.normal.Z, -a.X, -a.Y, -a.Z}
}

// normal equations of one sweep: information x step = pull.
type normal struct {
	info *mat.SymDense
	pull *mat.VecDense
}

func newNormal() normal { return normal{mat.NewSymDense(6, nil), mat.NewVecDense(6, nil)} }

func (n *normal) take(row [6]float64, off, w float64) {
	v := mat.NewVecDense(6, row[:])
	n.info.SymRankOne(n.info, w, v)
	n.pull.AddScaledVec(n.pull, -w*off, v)
}

// normals sums the points up, sweep by sweep.
func (f *fit) normals() []normal {
	c := f.centre()
	out := make([]normal, len(f.scans))
	for s := range out {
		out[s] = newNormal()
	}
	for i := range f.points {
		if p := &f.points[i]; p.weight > 0 {
			s := f.scale[p.scan]
			out[p.scan].take(p.row(c), p.off, p.weight*p.n/(s*s*f.deff))
		}
	}
	return out
}

// damped is a step of Levenberg and Marquardt (Marquardt, J. SIAM 11 (1963) 431):
// the damping grows until the step betters the robust cost.
func (f *fit) damped(gate float64) [6]float64 {
	n := newNormal()
	for _, s := range f.normals() {
		n.info.AddSym(n.info, s.info)
		n.pull.AddVec(n.pull, s.pull)
	}
	was := f.pose
	cost := f.cost()
	for lambda := 1e-3; lambda < 1e4; lambda *= 10 {
		a := mat.NewSymDense(6, nil)
		a.CopySym(n.info)
		for k := range 6 {
			a.SetSym(k, k, a.At(k, k)*(1+lambda)+1e-9)
		}
		var chol mat.Cholesky
		step := mat.NewVecDense(6, nil)
		if !chol.Factorize(a) || chol.SolveVecTo(step, n.pull) != nil {
			continue
		}
		var d [6]float64
		copy(d[:], step.RawVector().Data)
		scale := f.scale[0]
		f.pose = f.moved(d)
		f.place(gate)
		f.scale[0] = scale
		better := f.cost() <= cost
		f.pose = was
		if better {
			return d
		}
	}
	return [6]float64{}
}

// cost is the robust cost of the points: beyond the loss's reach, and without a
// foot, all cost alike (Beaton and Tukey, Technometrics 16 (1974) 147).
func (f *fit) cost() float64 {
	var sum float64
	for i := range f.points {
		p := &f.points[i]
		u := 1.0
		if p.weight > 0 {
			u = min(1, math.Abs(p.off)/(biweight*f.scale[p.scan]))
		}
		v := 1 - u*u
		sum += p.n * (1 - v*v*v)
	}
	return sum
}

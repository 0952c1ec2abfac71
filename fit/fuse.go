package fit

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// fuse is the one plane through several pieces of a face, each weighted by what
// is known of it: the generalised least-squares mean of their offset and turns
// about a common place (Gauss-Markov; JCGM 100:2008, F.1). Two stiles of a door
// frame, a metre apart, hold its turn far better than either alone.
func fuse(pieces []bound) bound {
	frame := pieces[0].Frame(centreOf(pieces))
	info, sum := mat.NewSymDense(3, nil), mat.NewVecDense(3, nil)
	for _, b := range pieces {
		w, ok := b.information(frame)
		if !ok {
			continue
		}
		y := perturbation(b.Plane, frame)
		var wy mat.VecDense
		wy.MulVec(w, mat.NewVecDense(3, y[:]))
		info.AddSym(info, w)
		sum.AddVec(sum, &wy)
	}
	var chol mat.Cholesky
	var mean mat.VecDense
	var cov mat.SymDense
	if !chol.Factorize(info) || chol.SolveVecTo(&mean, sum) != nil || chol.InverseTo(&cov) != nil {
		return pieces[0] // exact pieces: nothing to weigh
	}
	return bound{Plane: geom.Plane{Normal: frame.R.Axis(2), Offset: r3.Dot(frame.R.Axis(2), frame.T)}}.
		with(frame, [3]float64{mean.AtVec(0), mean.AtVec(1), mean.AtVec(2)}, &cov)
}

// with is b perturbed by d, with covariance cov at the origin of frame.
func (b bound) with(frame geom.Pose, d [3]float64, cov *mat.SymDense) bound {
	b.Centre = frame.T
	b.Plane = b.moved(d)
	b.Centre = b.Foot(frame.T)
	for i := range 3 {
		for j := range 3 {
			b.Cov[i][j] = cov.At(i, j)
		}
	}
	return b
}

// information is the inverse covariance of the plane, spoken of in frame.
func (b bound) information(frame geom.Pose) (*mat.SymDense, bool) {
	j := b.at(frame)
	cov := mat.NewSymDense(3, nil)
	for r := range 3 {
		for s := r; s < 3; s++ {
			sum := 0.0
			for k := range 3 {
				for l := range 3 {
					sum += j[r][k] * b.Cov[k][l] * j[s][l]
				}
			}
			cov.SetSym(r, s, sum)
		}
	}
	var chol mat.Cholesky
	var inv mat.SymDense
	if !chol.Factorize(cov) || chol.InverseTo(&inv) != nil {
		return nil, false
	}
	return &inv, true
}

func centreOf(pieces []bound) r3.Vec {
	var sum r3.Vec
	for _, b := range pieces {
		sum = r3.Add(sum, b.Centre)
	}
	return r3.Scale(1/float64(len(pieces)), sum)
}

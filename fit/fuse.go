package fit

import (
	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Pieces of one face stand out of it by formSigma mm, one standard deviation,
// and lean by that over their size: what a sheet bows, and what a wall is built
// to (common practice: some tenths).
const formSigma = 0.2

// fuse is the one plane through several pieces of a face: the generalised
// least-squares mean of their offset and turns about a common place
// (Gauss-Markov; JCGM 100:2008, F.1), each weighted by its own noise and form.
// Two stiles of a door frame, a metre apart, hold its turn far better than
// either alone. What moves the sweeps and the arm as a whole moves all pieces
// alike, so it is added afterwards, as the largest piece has it.
func fuse(pieces []*surface.Surface) bound {
	largest := boundOf(pieces[0])
	if len(pieces) == 1 {
		return largest
	}
	frame := largest.Frame(centreOf(pieces))
	info, sum := mat.NewSymDense(3, nil), mat.NewVecDense(3, nil)
	noise := mat.NewDense(3, 3, nil) // sum of w n w, with n the noise of a piece
	for _, p := range pieces {
		b := bound{Plane: p.Plane, Centre: p.Centre, Cov: ownCov(p)}
		w := inverse(symmetric(b.seenFrom(frame)))
		y := perturbation(b.Plane, frame)
		b.Cov = p.Budget.Noise
		var wn, wnw mat.Dense
		wn.Mul(w, symmetric(b.seenFrom(frame)))
		wnw.Mul(&wn, w)
		noise.Add(noise, &wnw)
		var wy mat.VecDense
		wy.MulVec(w, mat.NewVecDense(3, y[:]))
		info.AddSym(info, w)
		sum.AddVec(sum, &wy)
	}
	own := inverse(info)
	var d mat.VecDense
	d.MulVec(own, sum)
	var part, through mat.Dense
	part.Mul(own, noise)
	through.Mul(&part, own)
	seen := func(c surface.Cov3) surface.Cov3 {
		return bound{Plane: largest.Plane, Centre: largest.Centre, Cov: c}.seenFrom(frame)
	}
	common := seen(less(largest.Cov, pieces[0].Budget.Noise))
	out := bound{Plane: largest.Plane, Centre: frame.T}
	out.Plane = out.moved([3]float64{d.AtVec(0), d.AtVec(1), d.AtVec(2)})
	out.Centre = out.Foot(frame.T)
	for i := range 3 {
		for j := range 3 {
			out.Cov[i][j] = own.At(i, j) + common[i][j]
			out.shares.Noise[i][j] = through.At(i, j)
		}
	}
	out.shares.Sweep, out.shares.Arm, out.shares.Mount = seen(pieces[0].Budget.Sweep), seen(pieces[0].Budget.Arm), seen(pieces[0].Budget.Mount)
	return out
}

// fused is the one plane of a group, from its pieces that are large enough to
// tell.
func (s *survey) fused(group []int) bound {
	var pieces []*surface.Surface
	for _, i := range group {
		if p := &s.surfaces[i]; p.Area >= smallPiece*s.surfaces[group[0]].Area {
			pieces = append(pieces, p)
		}
	}
	return fuse(pieces)
}

// ownCov is what of a piece's covariance is its own: noise and form.
func ownCov(p *surface.Surface) surface.Cov3 {
	c := p.Budget.Noise
	c[0][0] += formSigma * formSigma
	c[1][1] += formSigma * formSigma / p.Area
	c[2][2] += formSigma * formSigma / p.Area
	return c
}

// less is the sum of variances a without its part b.
func less(a, b surface.Cov3) surface.Cov3 {
	for i := range a {
		for j := range a[i] {
			a[i][j] -= b[i][j]
		}
	}
	return a
}

// seenFrom is the covariance of the plane as perturbation has it in frame.
func (b bound) seenFrom(frame geom.Pose) surface.Cov3 {
	j := b.at(frame)
	var cov surface.Cov3
	for r := range 3 {
		for s := range 3 {
			for k := range 3 {
				for l := range 3 {
					cov[r][s] += j[r][k] * b.Cov[k][l] * j[s][l]
				}
			}
		}
	}
	return cov
}

// symmetric is the covariance as a matrix of the library.
func symmetric(c surface.Cov3) *mat.SymDense {
	return mat.NewSymDense(3, []float64{c[0][0], c[0][1], c[0][2], c[1][0], c[1][1], c[1][2], c[2][0], c[2][1], c[2][2]})
}

// inverse of a positive definite matrix. Its terms of mm^2 and rad^2 differ by
// ten orders of magnitude, which the condition number that is not looked at here
// reports and a Cholesky factor does not mind (Demmel, Applied Numerical Linear
// Algebra, 2.5.2: scaling does not matter to it).
func inverse(a *mat.SymDense) *mat.SymDense {
	var chol mat.Cholesky
	chol.Factorize(a)
	var inv mat.SymDense
	_ = chol.InverseTo(&inv)
	return &inv
}

// centreOf is the middle of what was seen of the pieces.
func centreOf(pieces []*surface.Surface) r3.Vec {
	var sum r3.Vec
	area := 0.0
	for _, p := range pieces {
		sum = r3.Add(sum, r3.Scale(p.Area, p.Centre))
		area += p.Area
	}
	return r3.Scale(1/area, sum)
}

package rigid

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Closed completes what is loose of m by another, independent account of the same
// motion: along the loose directions it takes what the other says there, by
// weighted least squares, as far as the other holds them to better than Coarse. It
// says too which directions rest on the other alone. lever is the body's half size,
// mm.
func (m Motion) Closed(other Motion, lever float64) (Motion, []Direction) {
	if len(m.Loose) == 0 {
		return m, nil
	}
	at := other.About
	body := other.Pose.Inverse().Apply(at)
	free, ok := basis(m.Loose, at, lever)
	if !ok {
		return m, nil
	}
	info, right, ok := other.along(free, m.to(other, body, lever), lever)
	var e mat.EigenSym
	if !ok || !e.Factorize(info, true) {
		return m, nil
	}
	var axes, ways mat.Dense
	e.VectorsTo(&axes)
	ways.Mul(free, &axes)
	step := mat.NewVecDense(6, nil)
	add := mat.NewSymDense(6, nil)
	open := 0
	for k, w := range e.Values(nil) {
		way := ways.ColView(k)
		if w < 1/(Coarse*Coarse) {
			open++
			continue
		}
		step.AddScaledVec(step, mat.Dot(axes.ColView(k), right)/w, way)
		add.SymRankOne(add, 1/w, way)
	}
	out := Motion{Pose: moved(m.Pose, body, step, lever), About: at, Cov: m.At(at)}
	for i := range 6 {
		for k := range 6 {
			out.Cov[i][k] += add.At(i, k) / unit(i, lever) / unit(k, lever)
		}
	}
	if open > 0 {
		out.Loose = directions(mat.DenseCopyOf(ways.Slice(0, 6, 0, open)), at, lever)
	}
	_, n := free.Dims()
	if open == n {
		return out, nil
	}
	return out, directions(mat.DenseCopyOf(ways.Slice(0, 6, open, n)), at, lever)
}

// Told is the motion without what is loose of it, at rest along these about the
// place that Cov holds for: a guess may have moved it there. lever is the body's half
// size, mm.
func (m Motion) Told(lever float64) Motion {
	if len(m.Loose) == 0 {
		return m
	}
	body := m.Pose.Inverse().Apply(m.About)
	free, ok := basis(m.Loose, m.About, lever)
	if !ok {
		return m
	}
	var square, held, cov, half mat.Dense
	square.Mul(free, free.T())
	held.Sub(mat.NewDiagDense(6, []float64{1, 1, 1, 1, 1, 1}), &square)
	all := Still().to(m, body, lever)
	var step mat.VecDense
	step.MulVec(&held, all)
	scaled := mat.NewDense(6, 6, nil)
	for i := range 6 {
		for k := range 6 {
			scaled.Set(i, k, m.Cov[i][k]*unit(i, lever)*unit(k, lever))
		}
	}
	half.Mul(&held, scaled)
	cov.Mul(&half, &held)
	out := Motion{Pose: moved(geom.Identity(), body, &step, lever), Loose: m.Loose}
	out.About = out.Pose.Apply(body)
	for i := range 6 {
		for k := range 6 {
			out.Cov[i][k] = cov.At(i, k) / unit(i, lever) / unit(k, lever)
		}
	}
	return out
}

// alike is the share of a set of directions below which one of them adds nothing to
// the others.
const alike = 1e-3

// basis spans what the directions do to a body at the point: orthonormal columns
// of displacement there and of turn times lever, as many as they are apart; ok is
// false where the point is not a number.
func basis(all []Direction, at r3.Vec, lever float64) (free *mat.Dense, ok bool) {
	b := mat.NewDense(6, len(all), nil)
	for k, d := range all {
		t, w := d.at(at), r3.Scale(lever, d.Turn)
		n := math.Hypot(r3.Norm(t), r3.Norm(w))
		b.SetCol(k, []float64{t.X / n, t.Y / n, t.Z / n, w.X / n, w.Y / n, w.Z / n})
	}
	var svd mat.SVD
	if !svd.Factorize(b, mat.SVDThinU) {
		return nil, false
	}
	rank := 0
	for _, v := range svd.Values(nil) {
		if v > alike {
			rank++
		}
	}
	var u mat.Dense
	svd.UTo(&u)
	return mat.DenseCopyOf(u.Slice(0, 6, 0, rank)), true
}

// to is the step from m to the other motion for the body's point.
func (m Motion) to(other Motion, body r3.Vec, lever float64) *mat.VecDense {
	t := r3.Sub(other.Pose.Apply(body), m.Pose.Apply(body))
	w := r3.Scale(lever, other.Pose.R.Mul(m.Pose.R.T()).Log())
	return mat.NewVecDense(6, []float64{t.X, t.Y, t.Z, w.X, w.Y, w.Z})
}

// along are the normal equations of the step within the columns of free, by the
// covariance of m; ok is false where that is singular.
func (m Motion) along(free *mat.Dense, step *mat.VecDense, lever float64) (info *mat.SymDense, right *mat.VecDense, ok bool) {
	cov := mat.NewSymDense(6, nil)
	for i := range 6 {
		for k := range i + 1 {
			cov.SetSym(i, k, (m.Cov[i][k]+m.Cov[k][i])/2*unit(i, lever)*unit(k, lever))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		return nil, nil, false
	}
	var weighed, square mat.Dense
	_ = chol.SolveTo(&weighed, free) // see Solve
	square.Mul(free.T(), &weighed)
	right = new(mat.VecDense)
	right.MulVec(weighed.T(), step)
	return Symmetric(&square), right, true
}

// moved is the motion after a step at the body's point.
func moved(p geom.Pose, body r3.Vec, step *mat.VecDense, lever float64) geom.Pose {
	t := r3.Vec{X: step.AtVec(0), Y: step.AtVec(1), Z: step.AtVec(2)}
	w := r3.Scale(1/lever, r3.Vec{X: step.AtVec(3), Y: step.AtVec(4), Z: step.AtVec(5)})
	return About(p.Apply(body), t, w).Mul(p)
}

// About is the motion that shifts by t and turns by the rotation vector w about
// the point.
func About(point, t, w r3.Vec) geom.Pose {
	r := geom.Exp(w)
	return geom.Pose{R: r, T: r3.Add(t, r3.Sub(point, r.Apply(point)))}
}

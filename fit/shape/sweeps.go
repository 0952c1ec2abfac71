package shape

import (
	"math"

	"cellwall/fit/between"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
)

// mixed is a step of the model with a displacement of every sweep, drawn from a
// disagreement that is integrated over. It sets the covariances.
func (f *fit) mixed(float64) [6]float64 {
	sums := f.normals()
	declared := f.view.cloud.PoseSigma
	var all [between.Steps]solution
	var logs [between.Steps]float64
	for k := range all {
		all[k] = f.under(sums, between.Shift(k))
		logs[k] = all[k].log + between.Likely(between.Shift(k), declared)
	}
	weights := between.Weights(logs)
	if math.IsNaN(weights[0]) {
		f.failed = true
		return [6]float64{}
	}
	var step [6]float64
	moves := make([][6]float64, len(f.sweeps))
	f.sweepSigma, f.cov = 0, geom.Cov6{}
	for k, w := range weights {
		f.sweepSigma += w * between.Shift(k) * between.Shift(k)
		for i := range step {
			step[i] += w * all[k].step[i]
			for s := range moves {
				moves[s][i] += w * all[k].sweeps[s][i]
			}
		}
	}
	f.sweepSigma = math.Sqrt(f.sweepSigma)
	for k, w := range weights {
		for i := range step {
			for j := range step {
				f.cov[i][j] += w * (all[k].cov[i][j] + (all[k].step[i]-step[i])*(all[k].step[j]-step[j]))
			}
		}
	}
	f.noise = f.agreeing(sums)
	for s := range moves {
		for i := range moves[s] {
			f.sweeps[s][i] += moves[s][i]
		}
	}
	return step
}

// agreeing is the covariance as if sweeps agreed.
func (f *fit) agreeing(sums []normal) (c geom.Cov6) {
	info, inverse := mat.NewSymDense(6, nil), mat.NewSymDense(6, nil)
	for s := range sums {
		info.AddSym(info, sums[s].info)
	}
	var chol mat.Cholesky
	if !chol.Factorize(info) || chol.InverseTo(inverse) != nil {
		return c
	}
	for i := range c {
		for j := range c {
			c[i][j] = inverse.At(i, j)
		}
	}
	return c
}

// solution under one disagreement: the step of the pose and of every sweep, the
// covariance of the pose, and the logarithm of the restricted likelihood.
type solution struct {
	step   [6]float64
	sweeps [][6]float64
	cov    geom.Cov6
	log    float64
}

// under integrates the sweeps' displacements out (Searle, Casella and McCulloch,
// Variance Components, 7.2). What a sweep says of the pose is then spoken about
// the displacement d that it has so far.
func (f *fit) under(sums []normal, shift float64) solution {
	each := between.Each(f.view.cloud.Aligned)
	t, r := max(shift, each.Shift), max(shift/between.TurnArm, each.Turn)
	q := [6]float64{t, t, t, r, r, r}
	total := newNormal()
	marginals := make([]marginal, len(sums))
	out := solution{sweeps: make([][6]float64, len(sums))}
	for s := range sums {
		m, ok := sums[s].marginal(q)
		if !ok {
			out.log = math.Inf(-1)
			return out
		}
		marginals[s] = m
		d, md := mat.NewVecDense(6, f.sweeps[s][:]), mat.NewVecDense(6, nil)
		md.MulVec(m.info, d)
		total.info.AddSym(total.info, m.info)
		total.pull.AddVec(total.pull, m.pull)
		total.pull.AddVec(total.pull, md)
		out.log += m.log - mat.Dot(d, md)/2 - mat.Dot(d, m.pull)
	}
	var chol mat.Cholesky
	step, inverse := mat.NewVecDense(6, nil), mat.NewSymDense(6, nil)
	if !chol.Factorize(total.info) || chol.SolveVecTo(step, total.pull) != nil || chol.InverseTo(inverse) != nil {
		out.log = math.Inf(-1)
		return out
	}
	out.log += mat.Dot(step, total.pull)/2 - chol.LogDet()/2
	copy(out.step[:], step.RawVector().Data)
	for i := range out.cov {
		for j := range out.cov {
			out.cov[i][j] = inverse.At(i, j)
		}
	}
	for s := range sums {
		out.sweeps[s] = marginals[s].displaced(q, out.step, f.sweeps[s])
	}
	return out
}

// marginal is what a sweep says of the pose once its own displacement, of
// standard deviations q, is integrated out. With A and b its normal equations,
// scaled to B = q A q and c = q b, it is q^-1 (I+B)^-1 B q^-1 on the left and
// q^-1 (I+B)^-1 c on the right.
type marginal struct {
	normal
	sum    mat.Cholesky  // of I + B
	scaled *mat.VecDense // c
	log    float64
}

func (n *normal) marginal(q [6]float64) (m marginal, ok bool) {
	b, sum := mat.NewSymDense(6, nil), mat.NewSymDense(6, nil)
	m.normal, m.scaled = newNormal(), mat.NewVecDense(6, nil)
	for i := range 6 {
		for j := i; j < 6; j++ {
			b.SetSym(i, j, q[i]*n.info.At(i, j)*q[j])
			sum.SetSym(i, j, b.At(i, j))
		}
		sum.SetSym(i, i, sum.At(i, i)+1)
		m.scaled.SetVec(i, q[i]*n.pull.AtVec(i))
	}
	var left mat.Dense
	right := mat.NewVecDense(6, nil)
	if !m.sum.Factorize(sum) || m.sum.SolveTo(&left, b) != nil || m.sum.SolveVecTo(right, m.scaled) != nil {
		return m, false
	}
	m.log = mat.Dot(m.scaled, right)/2 - m.sum.LogDet()/2
	for i := range 6 {
		m.pull.SetVec(i, right.AtVec(i)/q[i])
		for j := i; j < 6; j++ {
			m.info.SetSym(i, j, (left.At(i, j)+left.At(j, i))/2/(q[i]*q[j]))
		}
	}
	return m, true
}

// displaced is the step of the sweep's displacement, which was so far, that goes
// with the pose's.
func (m *marginal) displaced(q, step, so [6]float64) (d [6]float64) {
	y := mat.NewVecDense(6, nil)
	for k := range 6 {
		y.SetVec(k, m.scaled.AtVec(k)+(step[k]-so[k])/q[k])
	}
	if m.sum.SolveVecTo(y, y) != nil {
		return d
	}
	for k := range d {
		d[k] = q[k]*y.AtVec(k) - step[k]
	}
	return d
}

package shape

import (
	"math"

	"cellwall/fit/between"
	"cellwall/mapping/geom"

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

// corrCells are the cells over which residuals are averaged to see their
// correlation, mm: from a few lines of the scan to a face.
var corrCells = []float64{4, 10, 25, 60}

const (
	leastCells    = 12 // for a variance known to 40 %
	leastInCell   = 3
	mostInflation = 400.0
)

// designEffect is the variance of a mean over that of independent points (Kish
// 1965): of the means over cells of space, the worst size.
func (f *fit) designEffect() float64 {
	worst := 1.0
	for _, edge := range corrCells {
		worst = max(worst, f.inflation(edge))
	}
	return min(worst, mostInflation)
}

func (f *fit) inflation(edge float64) float64 {
	type tally struct{ sum, squares, n float64 }
	type key struct {
		scan int32
		cell [3]int32
		side [3]int8
	}
	at := map[key]*tally{}
	var order []*tally
	for i := range f.points {
		p := &f.points[i]
		if p.weight == 0 {
			continue
		}
		k := key{scan: p.scan}
		for a, x := range vec(p.at) {
			k.cell[a] = int32(math.Floor(x / edge))
			k.side[a] = int8(math.Round(2 * vec(p.normal)[a]))
		}
		c := at[k]
		if c == nil {
			c = &tally{}
			at[k] = c
			order = append(order, c)
		}
		r := p.weight * p.off / f.scale[p.scan]
		c.sum, c.squares, c.n = c.sum+r, c.squares+r*r, c.n+1
	}
	var between, within, total, used float64
	for _, c := range order {
		if c.n >= leastInCell {
			between += c.sum * c.sum / c.n
			within, total, used = within+c.squares, total+c.n, used+1
		}
	}
	if used < leastCells || within == 0 {
		return 1
	}
	return between / used / (within / total)
}

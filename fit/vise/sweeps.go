package vise

import (
	"math"

	"cellwall/fit/between"

	"gonum.org/v1/gonum/mat"
)

// Sweeps disagree: the arm puts each of them a little off as a whole, shifted
// and turned, in all its faces alike. These are random effects whose standard
// deviations are themselves not known. That of the shift, which matters most, is
// not estimated but integrated over (see package between; the likelihood is the
// restricted one, for the pose is flat: Harville, JASA 72 (1977) 320). Those of
// the turn and of the waver are set to their posterior root mean squares.

// disagreement is one sigma of what a sweep is off as a whole.
type disagreement struct {
	shift float64 // mm, along each axis
	turn  float64 // rad, about each axis
	waver float64 // of each face by itself, mm
}

// turnSpread: a shift goes with a turn (between.TurnArm) within a factor of two.
const turnSpread = 0.8 // of the logarithm

// mixture is the result of a step: the mean over the grid, the covariance of all
// unknowns, that of the shift's own sigma included, and what sweeps disagree by.
type mixture struct {
	step   []float64
	cov    *mat.SymDense
	noise  *mat.SymDense // as if sweeps agreed
	mount  *mat.SymDense // what the scanner's mount adds to the pose's; not in cov
	sweeps disagreement
	failed bool // the faces seen do not determine the jaws
}

// solution is the result under one disagreement.
type solution struct {
	factors
	step *mat.VecDense
	log  float64 // of the restricted likelihood
}

// factors are those of an information matrix whose unknowns are scaled so that
// each has an information of one by itself: millimetres and radians, and sweeps
// that must not move, lie far apart.
type factors struct {
	chol  *mat.Cholesky // nil where there are none
	scale []float64
}

// expected is what sweeps of the declared or of an undeclared arm disagree by.
func (f *fit) expected() disagreement {
	shift := between.Usual(f.view.cloud.PoseSigma)
	return f.atLeast(disagreement{shift, shift / between.TurnArm, usualWaver(f.view.cloud.PoseSigma)})
}

// atLeast is the disagreement, or what scans that were moved to agree may still
// be off each other.
func (f *fit) atLeast(d disagreement) disagreement {
	each := between.Each(f.view.cloud.Aligned)
	d.shift, d.turn = max(d.shift, each.Shift), max(d.turn, each.Turn)
	return d
}

// asExpected solves the system as if the arm were as good as expected.
func (s *system) asExpected(f *fit) mixture {
	d := f.expected()
	r := s.under(f, d)
	if math.IsInf(r.log, 0) || math.IsNaN(r.log) {
		return failure(f)
	}
	cov := r.cov()
	return mixture{step: r.step.RawVector().Data, cov: cov, noise: cov, mount: mat.NewSymDense(f.unknowns(), nil), sweeps: d}
}

func failure(f *fit) mixture {
	n := f.unknowns()
	return mixture{step: make([]float64, n), cov: mat.NewSymDense(n, nil), noise: mat.NewSymDense(n, nil), mount: mat.NewSymDense(n, nil), failed: true}
}

// overShifts solves the system under each shift of the grid and mixes the
// results.
func (s *system) overShifts(f *fit) mixture {
	turn := f.expected().turn
	likely := func(x float64) float64 { return between.Likely(x, f.view.cloud.PoseSigma) }
	d := f.mixture.sweeps
	waver := f.expected().waver
	d.waver = s.rootMean(f, d.waver, func(x float64) float64 { return between.LogCauchy(x, waver, waverSpread) }, func(x float64) disagreement { return disagreement{d.shift, d.turn, x} })
	d.turn = s.rootMean(f, turn*between.TurnArm, func(x float64) float64 { return between.LogNormal(x/between.TurnArm, turn, turnSpread) },
		func(x float64) disagreement { return f.atLeast(disagreement{d.shift, x / between.TurnArm, d.waver}) }) / between.TurnArm
	var all [between.Steps]solution
	var logs [between.Steps]float64
	for k := range all {
		all[k] = s.under(f, f.atLeast(disagreement{between.Shift(k), d.turn, d.waver}))
		logs[k] = all[k].log + likely(between.Shift(k))
	}
	weights := between.Weights(logs)
	if math.IsNaN(weights[0]) {
		return failure(f)
	}
	m := mixed(all[:], weights[:])
	m.sweeps = d
	m.sweeps.shift = 0
	for k, w := range weights {
		m.sweeps.shift += w * between.Shift(k) * between.Shift(k)
	}
	m.sweeps.shift = math.Sqrt(m.sweeps.shift)
	m.sweeps = f.atLeast(m.sweeps)
	m.mount = f.mounted(s.under(f, m.sweeps).cov(), m.sweeps)
	m.noise = s.under(f, disagreement{between.LeastShift, between.LeastShift / between.TurnArm, between.LeastShift}).cov()
	return m
}

// rootMean is the root mean square of the values of the grid, weighted as the
// data under a disagreement with each of them, and what is known beforehand, have
// them; or the given one where the data do not tell.
func (s *system) rootMean(f *fit, otherwise float64, likely func(float64) float64, with func(float64) disagreement) float64 {
	var logs [between.Steps]float64
	for k := range logs {
		logs[k] = s.under(f, with(between.Shift(k))).log + likely(between.Shift(k))
	}
	var square float64
	for k, w := range between.Weights(logs) {
		square += w * between.Shift(k) * between.Shift(k)
	}
	if math.IsNaN(square) {
		return otherwise
	}
	return math.Sqrt(square)
}

// mixed is the mean and the covariance of a weighted mixture.
func mixed(all []solution, weights []float64) mixture {
	n := all[0].step.Len()
	m := mixture{step: make([]float64, n), cov: mat.NewSymDense(n, nil)}
	for k, w := range weights {
		for i := range n {
			m.step[i] += w * all[k].step.AtVec(i)
		}
	}
	for k, w := range weights {
		if w < 1e-6 {
			continue
		}
		cov := all[k].cov()
		for i := range n {
			for j := i; j < n; j++ {
				c := cov.At(i, j) + (all[k].step.AtVec(i)-m.step[i])*(all[k].step.AtVec(j)-m.step[j])
				m.cov.SetSym(i, j, m.cov.At(i, j)+w*c)
			}
		}
	}
	return m
}

// under solves the system with the sweeps drawn from the disagreement.
func (s *system) under(f *fit, d disagreement) solution {
	n := f.unknowns()
	t := system{information: mat.NewSymDense(n, nil), pull: mat.NewVecDense(n, nil), misfit: s.misfit}
	t.information.CopySym(s.information)
	t.pull.CopyVec(s.pull)
	logPrior := 0.0
	for i := range f.sweeps {
		for k, sigma := range [6]float64{d.shift, d.shift, d.shift, d.turn, d.turn, d.turn} {
			t.prior(atSweeps+6*i+k, f.sweeps[i][k], sigma)
			logPrior -= math.Log(sigma)
		}
	}
	for i := range f.wavers {
		for k, off := range f.wavers[i].off {
			t.prior(f.atWavers()+3*i+k, off, d.waver)
			logPrior -= math.Log(d.waver)
		}
	}
	step, factors, logDet := t.factor()
	least := t.misfit - mat.Dot(step, t.pull)
	return solution{factors, step, -least/2 - logDet/2 + logPrior}
}

// factor solves the system, and returns the factors of the information and the
// logarithm of its determinant; that is infinite where it has none.
func (s *system) factor() (step *mat.VecDense, f factors, logDet float64) {
	n := s.pull.Len()
	step = mat.NewVecDense(n, nil)
	scaled := mat.NewSymDense(n, nil)
	f.scale = make([]float64, n)
	for i := range n {
		f.scale[i] = 1 / math.Sqrt(s.information.At(i, i))
		logDet -= 2 * math.Log(f.scale[i])
		for j := range i + 1 {
			scaled.SetSym(i, j, s.information.At(i, j)*f.scale[i]*f.scale[j])
		}
		step.SetVec(i, s.pull.AtVec(i)*f.scale[i])
	}
	var chol mat.Cholesky
	if !chol.Factorize(scaled) || chol.SolveVecTo(step, step) != nil {
		return step, f, math.Inf(1)
	}
	f.chol = &chol
	for i := range n {
		step.SetVec(i, step.AtVec(i)*f.scale[i])
	}
	return step, f, logDet + chol.LogDet()
}

// cov is the inverse of the information; zeros where there is none.
func (f factors) cov() *mat.SymDense {
	n := len(f.scale)
	cov := mat.NewSymDense(n, nil)
	if f.chol == nil || f.chol.InverseTo(cov) != nil {
		return cov
	}
	for i := range n {
		for j := range i + 1 {
			cov.SetSym(i, j, cov.At(i, j)*f.scale[i]*f.scale[j])
		}
	}
	return cov
}

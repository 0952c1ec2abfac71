package vise

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Sweeps disagree: the arm puts each of them a little off as a whole, shifted
// and turned, in all its faces alike. These are random effects whose standard
// deviations are themselves not known. Three to seven sweeps say little on them,
// so that of the shift, which matters most, is not estimated but integrated
// over: every value of a grid is weighted by the likelihood of the data under it
// (the restricted likelihood, for the pose is flat: Harville, JASA 72 (1977)
// 320) times what is known beforehand. Those of the turn and of the waver are set
// to their posterior root mean squares.

// disagreement is one sigma of what a sweep is off as a whole.
type disagreement struct {
	shift float64 // mm, along each axis
	turn  float64 // rad, about each axis
	waver float64 // of each face by itself, mm
}

const (
	leastShift = 0.0005 // mm: finer than any arm
	mostShift  = 2.0    // mm: more is a wrong mount, not an inaccurate arm
	gridSteps  = 17     // in equal ratios of 1.68

	// undeclaredShift and its spread stand for arms of which nothing was
	// declared: repeatability of .02 to .2 mm, absolute accuracy many times
	// worse (common practice). A declared value is taken to hold within a
	// factor of one and a half.
	undeclaredShift  = 0.2
	undeclaredSpread = 0.8 // of the logarithm
	declaredSpread   = 0.4

	// turnArm turns a shift into a turn: an arm that is off by 0.5 mm at its
	// wrist tilts what it carries by as much over half a metre, within a factor
	// of two.
	turnArm    = 500.0 // mm
	turnSpread = 0.8
)

// mixture is the result of a step: the mean over the grid, the covariance of all
// unknowns, that of the shift's own sigma included, and what sweeps disagree by.
type mixture struct {
	step   []float64
	cov    *mat.SymDense
	noise  *mat.SymDense // as if sweeps agreed
	sweeps disagreement
	failed bool // the faces seen do not determine the jaws
}

// solution is the result under one disagreement.
type solution struct {
	step *mat.VecDense
	cov  *mat.SymDense
	log  float64 // of the restricted likelihood
}

// expected is what sweeps of the declared or of an undeclared arm disagree by,
// and how likely a shift is beforehand: the logarithm of its density. Where
// nothing was declared its tails are those of Cauchy's distribution, so that
// sweeps which plainly agree may say so.
func (f *fit) expected() (d disagreement, likely func(shift float64) float64) {
	if declared := f.view.cloud.PoseSigma; declared > 0 {
		likely = func(x float64) float64 { return logNormal(x, declared, declaredSpread) }
		return disagreement{declared, declared / turnArm, usualWaver}, likely
	}
	likely = func(x float64) float64 {
		z := math.Log(x/undeclaredShift) / undeclaredSpread
		return -math.Log1p(z * z)
	}
	return disagreement{undeclaredShift, undeclaredShift / turnArm, usualWaver}, likely
}

// asExpected solves the system as if the arm were as good as expected.
func (s *system) asExpected(f *fit) mixture {
	d, _ := f.expected()
	r := s.under(f, d)
	if math.IsInf(r.log, 0) || math.IsNaN(r.log) {
		return failure(f)
	}
	return mixture{step: r.step.RawVector().Data, cov: r.cov, noise: r.cov, sweeps: d}
}

func failure(f *fit) mixture {
	n := f.unknowns()
	return mixture{step: make([]float64, n), cov: mat.NewSymDense(n, nil), noise: mat.NewSymDense(n, nil), failed: true}
}

// overShifts solves the system under each shift of the grid and mixes the
// results.
func (s *system) overShifts(f *fit) mixture {
	centre, likely := f.expected()
	d := f.mixture.sweeps
	d.waver = s.rootMean(f, d.waver, likelyWaver, func(x float64) disagreement { return disagreement{d.shift, d.turn, x} })
	d.turn = s.rootMean(f, centre.turn*turnArm, func(x float64) float64 { return logNormal(x, centre.turn*turnArm, turnSpread) },
		func(x float64) disagreement { return disagreement{d.shift, x / turnArm, d.waver} }) / turnArm
	var all [gridSteps]solution
	var logs [gridSteps]float64
	for k := range all {
		all[k] = s.under(f, disagreement{gridShift(k), d.turn, d.waver})
		logs[k] = all[k].log + likely(gridShift(k))
	}
	weights := normalised(logs)
	if math.IsNaN(weights[0]) {
		return failure(f)
	}
	m := mixed(all[:], weights[:])
	m.sweeps = d
	m.sweeps.shift = 0
	for k, w := range weights {
		m.sweeps.shift += w * gridShift(k) * gridShift(k)
	}
	m.sweeps.shift = math.Sqrt(m.sweeps.shift)
	m.noise = s.under(f, disagreement{leastShift, leastShift / turnArm, leastShift}).cov
	return m
}

func gridShift(k int) float64 {
	return leastShift * math.Pow(mostShift/leastShift, float64(k)/(gridSteps-1))
}

// rootMean is the root mean square of the values of the grid, weighted as the
// data under a disagreement with each of them, and what is known beforehand, have
// them; or the given one where the data do not tell.
func (s *system) rootMean(f *fit, otherwise float64, likely func(float64) float64, with func(float64) disagreement) float64 {
	var logs [gridSteps]float64
	for k := range logs {
		logs[k] = s.under(f, with(gridShift(k))).log + likely(gridShift(k))
	}
	var square float64
	for k, w := range normalised(logs) {
		square += w * gridShift(k) * gridShift(k)
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
		for i := range n {
			for j := i; j < n; j++ {
				c := all[k].cov.At(i, j) + (all[k].step.AtVec(i)-m.step[i])*(all[k].step.AtVec(j)-m.step[j])
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
	step, cov, logDet := t.invert()
	least := t.misfit - mat.Dot(step, t.pull)
	return solution{step, cov, -least/2 - logDet/2 + logPrior}
}

// invert solves the system, and returns the inverse of the information and the
// logarithm of its determinant; that is infinite where there is no inverse. The
// unknowns are scaled first so that each has an information of one by itself:
// millimetres and radians, and sweeps that must not move, lie far apart.
func (s *system) invert() (step *mat.VecDense, cov *mat.SymDense, logDet float64) {
	n := s.pull.Len()
	step, cov = mat.NewVecDense(n, nil), mat.NewSymDense(n, nil)
	scaled, scale := mat.NewSymDense(n, nil), make([]float64, n)
	for i := range n {
		scale[i] = 1 / math.Sqrt(s.information.At(i, i))
		logDet -= 2 * math.Log(scale[i])
		for j := range i + 1 {
			scaled.SetSym(i, j, s.information.At(i, j)*scale[i]*scale[j])
		}
		step.SetVec(i, s.pull.AtVec(i)*scale[i])
	}
	var chol mat.Cholesky
	if !chol.Factorize(scaled) || chol.SolveVecTo(step, step) != nil || chol.InverseTo(cov) != nil {
		return step, cov, math.Inf(1)
	}
	for i := range n {
		step.SetVec(i, step.AtVec(i)*scale[i])
		for j := range i + 1 {
			cov.SetSym(i, j, cov.At(i, j)*scale[i]*scale[j])
		}
	}
	return step, cov, logDet + chol.LogDet()
}

// logNormal is the logarithm of the density of x over its logarithm, up to a
// constant.
func logNormal(x, centre, spread float64) float64 {
	z := math.Log(x/centre) / spread
	return -z * z / 2
}

// normalised turns logarithms of weights into weights that sum to one.
func normalised(logs [gridSteps]float64) (w [gridSteps]float64) {
	top := math.Inf(-1)
	for _, l := range logs {
		top = max(top, l)
	}
	var sum float64
	for k, l := range logs {
		w[k] = math.Exp(l - top)
		sum += w[k]
	}
	for k := range w {
		w[k] /= sum
	}
	return w
}

package vise

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Sweeps disagree: the arm puts each of them a little off as a whole, in all
// its faces alike. That is a random effect with a standard deviation that is
// itself not known. Three to seven sweeps say little on it, so it is not
// estimated but integrated over: every value of a grid is weighted by the
// likelihood of the data under it (the restricted likelihood, for the pose is
// flat: Harville, JASA 72 (1977) 320) times what is known beforehand.

const (
	leastSweepSigma = 0.002 // mm: finer than any arm
	mostSweepSigma  = 2.0   // mm: more is a wrong mount, not an inaccurate arm
	sweepSteps      = 25    // of the grid, in equal ratios of 1.33

	// undeclaredSigma and its spread stand for arms of which nothing was
	// declared: repeatability of .02 to .2 mm, absolute accuracy many times
	// worse (common practice). A declared value is taken to hold within a
	// factor of one and a half.
	undeclaredSigma  = 0.2
	undeclaredSpread = 0.8 // of the logarithm
	declaredSpread   = 0.4

	// turnArm turns a shift into a rotation: an arm that is off by 0.5 mm at
	// its wrist tilts what it carries by as much over half a metre.
	turnArm = 500.0 // mm
)

// mixture is the result of a step under all sweep sigmas: the mean step and the
// covariance of all unknowns, that of the sweep sigma's own uncertainty
// included, and its posterior mean square.
type mixture struct {
	step   []float64
	cov    *mat.SymDense
	noise  *mat.SymDense // as if sweeps agreed: the least sigma's covariance
	sigma  float64
	failed bool // the faces seen do not determine the jaws
}

// overSweepSigmas solves the system under each sweep sigma of the grid and
// mixes the results.
func (s *system) overSweepSigmas(f *fit) mixture {
	n := f.unknowns()
	var steps [sweepSteps]*mat.VecDense
	var covs [sweepSteps]*mat.SymDense
	var logs [sweepSteps]float64
	var sigmas [sweepSteps]float64
	for k := range sigmas {
		t := float64(k) / (sweepSteps - 1)
		sigmas[k] = leastSweepSigma * math.Pow(mostSweepSigma/leastSweepSigma, t)
		steps[k], covs[k], logs[k] = s.under(f, sigmas[k])
		logs[k] += f.beforehand(sigmas[k])
	}
	weights := normalised(logs)
	if math.IsNaN(weights[0]) {
		return mixture{step: make([]float64, n), cov: mat.NewSymDense(n, nil), noise: mat.NewSymDense(n, nil), failed: true}
	}
	m := mixture{step: make([]float64, n), cov: mat.NewSymDense(n, nil), noise: covs[0]}
	for k, w := range weights {
		for i := range n {
			m.step[i] += w * steps[k].AtVec(i)
		}
		m.sigma += w * sigmas[k] * sigmas[k]
	}
	m.sigma = math.Sqrt(m.sigma)
	for k, w := range weights {
		if w < 1e-6 {
			continue
		}
		for i := range n {
			for j := i; j < n; j++ {
				c := covs[k].At(i, j) + (steps[k].AtVec(i)-m.step[i])*(steps[k].AtVec(j)-m.step[j])
				m.cov.SetSym(i, j, m.cov.At(i, j)+w*c)
			}
		}
	}
	return m
}

// under solves the system with the sweeps' shifts drawn with standard deviation
// sigma, and returns the logarithm of the restricted likelihood too.
func (s *system) under(f *fit, sigma float64) (step *mat.VecDense, cov *mat.SymDense, logLikelihood float64) {
	n := f.unknowns()
	t := system{information: mat.NewSymDense(n, nil), pull: mat.NewVecDense(n, nil), misfit: s.misfit}
	t.information.CopySym(s.information)
	t.pull.CopyVec(s.pull)
	logPrior := 0.0
	for i := range f.sweeps {
		for k := range 6 {
			sd := sigma
			if k >= 3 {
				sd /= turnArm
			}
			t.prior(atSweeps+6*i+k, f.sweeps[i][k], sd)
			logPrior -= math.Log(sd)
		}
	}
	step, cov, logDet := t.invert()
	least := t.misfit - mat.Dot(step, t.pull)
	return step, cov, -least/2 - logDet/2 + logPrior
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

// beforehand is the logarithm of the prior density of the sweep sigma, log-normal.
func (f *fit) beforehand(sigma float64) float64 {
	centre, spread := undeclaredSigma, undeclaredSpread
	if declared := f.view.cloud.PoseSigma; declared > 0 {
		centre, spread = declared, declaredSpread
	}
	z := math.Log(sigma/centre) / spread
	return -z * z / 2
}

// normalised turns logarithms of weights into weights that sum to one.
func normalised(logs [sweepSteps]float64) (w [sweepSteps]float64) {
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

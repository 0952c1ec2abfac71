// Package between holds what is known beforehand of how far sweeps disagree: the
// arm puts each of them a little off as a whole. The standard deviation of that
// is itself not known, and a handful of sweeps says little on it, so that fits
// integrate over it: every value of a grid is weighted by the likelihood of the
// data under it times Likely.
package between

import "math"

const (
	// Steps of the grid, in equal ratios of 1.68.
	Steps      = 17
	LeastShift = 0.0005 // mm: finer than any arm
	mostShift  = 2.0    // mm: more is a wrong mount, not an inaccurate arm

	// undeclaredShift and its spread stand for arms of which nothing was
	// declared: repeatability of .02 to .2 mm, absolute accuracy many times
	// worse (common practice). A declared value is taken to hold within a
	// factor of one and a half.
	undeclaredShift  = 0.2 // mm
	undeclaredSpread = 0.8 // of the logarithm
	declaredSpread   = 0.4

	// TurnArm turns a shift into a turn, mm: an arm that is off by 0.5 mm at its
	// wrist tilts what it carries by as much over half a metre.
	TurnArm = 500.0
)

// Shift is the k-th value of the grid: one sigma of what a sweep is shifted by
// along each axis, mm.
func Shift(k int) float64 {
	return LeastShift * math.Pow(mostShift/LeastShift, float64(k)/(Steps-1))
}

// Usual is the shift that an arm of the declared accuracy has, or any arm where
// that is 0, mm.
func Usual(declared float64) float64 {
	if declared > 0 {
		return declared
	}
	return undeclaredShift
}

// Likely is how likely a shift is beforehand: the logarithm of its density, up to
// a constant. Where nothing was declared its tails are those of Cauchy's
// distribution, so that sweeps which plainly agree may say so.
func Likely(shift, declared float64) float64 {
	if declared > 0 {
		return LogNormal(shift, declared, declaredSpread)
	}
	return LogCauchy(shift, undeclaredShift, undeclaredSpread)
}

// LogNormal is the logarithm of the density of x over its logarithm, up to a
// constant.
func LogNormal(x, centre, spread float64) float64 {
	z := math.Log(x/centre) / spread
	return -z * z / 2
}

// LogCauchy is the same with long tails.
func LogCauchy(x, centre, spread float64) float64 {
	z := math.Log(x/centre) / spread
	return -math.Log1p(z * z)
}

// Weights turns logarithms of weights into weights that sum to one; NaN where the
// data bear none out.
func Weights(logs [Steps]float64) (w [Steps]float64) {
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

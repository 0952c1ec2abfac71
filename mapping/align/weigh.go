package align

import (
	"math"
	"slices"
)

const (
	biweight = 4.685  // in deviations: 95 % efficient on normal errors (Beaton and Tukey)
	mad      = 0.6745 // the median of a standard normal's absolute value
	quietest = 0.01   // mm: no patch is known better than the arm repeats (common practice: 0.02 mm)
)

// variance of a row besides what its group shares.
func (a *adjuster) variance(w *row) float64 { return a.Spread.Patch*a.Spread.Patch + w.noise }

// weigh finds how far patches scatter and weighs each by where it lies in that.
func (a *adjuster) weigh() {
	var far []float64
	var noise []float64
	a.each(func(g *group, w *row) {
		far = append(far, math.Abs(w.left-g.bias)/math.Sqrt(a.variance(w)))
		noise = append(noise, w.noise)
	})
	f := median(far) / mad
	s := a.Spread.Patch * a.Spread.Patch
	a.Spread.Patch = math.Sqrt(max(quietest*quietest, s+(f*f-1)*(s+median(noise))))
	a.each(func(g *group, w *row) {
		v := a.variance(w)
		u := (w.left - g.bias) / (biweight * math.Sqrt(v))
		w.weight = 0
		if u*u < 1 {
			w.weight = (1 - u*u) * (1 - u*u) / v
		}
	})
}

func median(x []float64) float64 {
	slices.Sort(x)
	return x[len(x)/2]
}

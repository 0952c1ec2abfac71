package align

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Off is the rms by which patches lie off the surfaces that best fit them, mm,
// where the shared parameters are changed by d and no scan is corrected; d may
// be nil. Patches that the adjustment found to lie on no surface do not count.
func (a *Adjustment) Off(d []float64) float64 {
	var squares, weight float64
	for i := range a.faces {
		s, w := a.faces[i].off(d)
		squares, weight = squares+s, weight+w
	}
	return math.Sqrt(squares / weight)
}

// off is the sum of weighted squares off the surface of best fit, and of the
// weights.
func (f *face) off(d []float64) (squares, weight float64) {
	n, b := mat.NewSymDense(3, nil), mat.NewVecDense(3, nil)
	for i := range f.groups {
		for k := range f.groups[i].rows {
			w := &f.groups[i].rows[k]
			at := w.off
			for m, v := range d {
				at += v * w.j[m]
			}
			for x, v := range w.basis {
				b.SetVec(x, b.AtVec(x)+w.weight*v*at)
				for y := x; y < 3; y++ {
					n.SetSym(x, y, n.At(x, y)+w.weight*v*w.basis[y])
				}
			}
			squares += w.weight * at * at
			weight += w.weight
		}
	}
	var c mat.Cholesky
	var x mat.VecDense
	if c.Factorize(n) {
		if err := c.SolveVecTo(&x, b); err == nil || near(err) {
			squares -= mat.Dot(&x, b)
		}
	}
	return max(squares, 0), weight
}

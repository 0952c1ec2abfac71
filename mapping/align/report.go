package align

import (
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// outlier is the trust below which a scan is called one: six deviations off.
const outlier = 0.045

// report is what came of it.
func (a *adjuster) report() *Adjustment {
	out := a.out
	out.scale, out.main, out.right, out.faces = a.Scale, a.main, a.right, a.faces
	out.Scans = make([]Misfit, a.Scans)
	for s := range out.Scans {
		m := &out.Scans[s]
		v := func(k int) float64 { return a.y.AtVec(a.params + 6*s + k) }
		m.Shift, m.Turn = r3.Vec{X: v(0), Y: v(1), Z: v(2)}, r3.Vec{X: v(3), Y: v(4), Z: v(5)}
		m.Pivot = a.pivots[s]
		m.Beyond = a.beyond(s)
		m.Outlier = a.trusts[s] < outlier
	}
	a.each(func(g *group, w *row) {
		if w.weight > 0 {
			out.Scans[a.Parts[g.part].Scan].Patches++
		}
	})
	return &out
}

// Shared is the information on the shared parameters with all else eliminated,
// in units of their scale, and the right hand side with it.
func (a *Adjustment) Shared() (*mat.SymDense, *mat.VecDense, error) {
	p := len(a.scale)
	own := a.main.SliceSym(p, a.main.SymmetricDim())
	n := own.SymmetricDim()
	var c mat.Cholesky
	if !c.Factorize(own) {
		return nil, nil, errSingular
	}
	cross := mat.NewDense(n, p, nil)
	for i := range n {
		for k := range p {
			cross.Set(i, k, a.main.At(p+i, k))
		}
	}
	var solved, less mat.Dense
	if err := c.SolveTo(&solved, cross); err != nil && !near(err) {
		return nil, nil, err
	}
	less.Mul(cross.T(), &solved)
	info, right := mat.NewSymDense(p, nil), mat.NewVecDense(p, nil)
	var lessRight mat.VecDense
	lessRight.MulVec(solved.T(), a.right.SliceVec(p, p+n))
	for i := range p {
		right.SetVec(i, a.scale[i]*(a.right.AtVec(i)-lessRight.AtVec(i)))
		for k := i; k < p; k++ {
			info.SetSym(i, k, a.scale[i]*a.scale[k]*(a.main.At(i, k)-less.At(i, k)))
		}
	}
	return info, right, nil
}

package align

import (
	"math"

	"cellwall/mapping"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

const (
	outlier = 6  // deviations of the spread, from which on a scan is called one
	enough  = 30 // patches, below which a few that are mistaken could make a correction
)

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
		m.Left = a.left(s)
		m.Beyond = a.beyond(s)
		m.Significant = a.significant(s)
	}
	a.each(func(g *group, w *row) {
		if w.weight > 0 {
			out.Scans[a.Parts[g.part].Scan].Patches++
		}
	})
	for s := range out.Scans {
		m := &out.Scans[s]
		m.Told = m.Patches >= enough
		m.Outlier = m.Told && m.Beyond > outlier
	}
	return &out
}

// left is what is not known of a scan's correction.
func (a *adjuster) left(scan int) mapping.Rigid {
	var v [2]float64
	for k := range 6 {
		v[k/3] += a.cov.At(a.at(scan, k), a.at(scan, k)) / 3
	}
	return mapping.Rigid{Shift: math.Sqrt(v[0]), Turn: math.Sqrt(v[1])}
}

// sure is the level at which a correction is told from none, over all scans
// together (Bonferroni; common practice).
const sure = 0.95

// significant tells whether a scan's correction is more than what is not known
// of it would make: the chi-square test of its six values.
func (a *adjuster) significant(scan int) bool {
	own := a.cov.SliceSym(a.at(scan, 0), a.at(scan, 0)+6)
	var c mat.Cholesky
	if !c.Factorize(own) {
		return false
	}
	v := a.y.SliceVec(a.at(scan, 0), a.at(scan, 0)+6)
	var x mat.VecDense
	if err := c.SolveVecTo(&x, v); err != nil && !near(err) {
		return false
	}
	return mat.Dot(&x, v) > distuv.ChiSquared{K: 6}.Quantile(1-(1-sure)/float64(a.Scans))
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

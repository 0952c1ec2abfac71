package align

import (
	"errors"

	"gonum.org/v1/gonum/mat"
)

// errSingular cannot come of a spread above nothing.
var errSingular = errors.New("the scans' adjustment is singular")

// unknown is how little is known of a shared parameter beforehand, in units of
// its scale: enough to keep the normal matrix regular, too little to tell.
const unknown = 1e4

// solve sums up the normal equations, surfaces eliminated (Schur's
// complement), and solves them.
func (a *adjuster) solve() error {
	a.main, a.right = mat.NewSymDense(a.size, nil), mat.NewVecDense(a.size, nil)
	for i := range a.faces {
		a.add(&a.faces[i])
	}
	a.expect()
	full := mat.NewSymDense(a.size, nil)
	full.CopySym(a.main)
	for k, scale := range a.Scale {
		full.SetSym(k, k, full.At(k, k)+1/(unknown*unknown*scale*scale))
	}
	var c mat.Cholesky
	if !c.Factorize(full) {
		return errSingular
	}
	a.y, a.cov = mat.NewVecDense(a.size, nil), mat.NewSymDense(a.size, nil)
	if err := c.SolveVecTo(a.y, a.right); err != nil && !near(err) {
		return err
	}
	if err := c.InverseTo(a.cov); err != nil && !near(err) {
		return err
	}
	a.leave()
	return nil
}

// near tells a warning of poor condition, which parameters that nothing tells
// bring about by right, from an error.
func near(err error) bool {
	var c mat.Condition
	return errors.As(err, &c)
}

// flatPrior holds a surface's tilt where its patches lie on a line, rad.
const flatPrior = 0.2

// add takes in a surface. A group's own offset is eliminated by subtracting
// what it would explain, a rank of one.
func (a *adjuster) add(f *face) {
	n := a.columns() + 3
	tilt := 1 / (flatPrior * flatPrior)
	if f.round {
		tilt = 0
	}
	f.normal = mat.NewSymDense(3, []float64{0, 0, 0, 0, tilt, 0, 0, 0, tilt})
	f.cross, f.right = mat.NewDense(3, a.size, nil), mat.NewVecDense(3, nil)
	j := make([]float64, n)
	for i := range f.groups {
		g := &f.groups[i]
		h, b := make([]float64, n*n), make([]float64, n)
		sums, off, weight := make([]float64, n), 0.0, 0.0
		for k := range g.rows {
			w := &g.rows[k]
			copy(j, w.j)
			for m, v := range w.basis {
				j[n-3+m] = -v
			}
			gather(h, b, j, -w.off, w.weight)
			for m, v := range j {
				sums[m] += w.weight * v
			}
			off += w.weight * -w.off
			weight += w.weight
		}
		g.sum = weight
		shared := 1 / (weight + 1/(a.Spread.Face*a.Spread.Face))
		gather(h, b, sums, off, -shared)
		a.spread(f, g.part, h, b)
	}
	a.eliminate(f)
}

// gather adds w j j^T to h and w j r to b, where r stands for a product already
// summed over when j is a sum.
func gather(h, b, j []float64, r, w float64) {
	n := len(j)
	for x, jx := range j {
		if jx == 0 {
			continue
		}
		b[x] += w * jx * r
		for y, jy := range j {
			h[x*n+y] += w * jx * jy
		}
	}
}

// columns is how many unknowns besides the surface's own move a row.
func (a *adjuster) columns() int {
	if a.wandering() > 0 {
		return a.params + 12
	}
	return a.params + 6
}

// place is where the local column stands in the whole; -1, -2, -3 are the
// surface's own.
func (a *adjuster) place(part, column int) int {
	if own := column - a.columns(); own >= 0 {
		return -own - 1
	}
	switch own := column - a.params; {
	case own < 0:
		return column
	case own < 6:
		return a.at(a.Parts[part].Scan, own)
	default:
		return a.at(a.Scans+part, own-6)
	}
}

// spread puts a group's sums where they belong.
func (a *adjuster) spread(f *face, part int, h, b []float64) {
	n := len(b)
	main, cross, normal := a.main.RawSymmetric(), f.cross.RawMatrix(), f.normal.RawSymmetric()
	at := make([]int, n)
	for x := range at {
		at[x] = a.place(part, x)
	}
	for x, i := range at {
		if i < 0 {
			f.right.SetVec(-i-1, f.right.AtVec(-i-1)+b[x])
		} else {
			a.right.SetVec(i, a.right.AtVec(i)+b[x])
		}
		for y, k := range at {
			switch v := h[x*n+y]; {
			case i >= 0 && k >= i:
				main.Data[i*main.Stride+k] += v
			case i < 0 && k >= 0:
				cross.Data[(-i-1)*cross.Stride+k] += v
			case i < 0 && k < 0 && -k >= -i:
				normal.Data[(-i-1)*normal.Stride-k-1] += v
			}
		}
	}
}

// eliminate takes the surface's own three unknowns out.
func (a *adjuster) eliminate(f *face) {
	var c mat.Cholesky
	if !c.Factorize(f.normal) {
		return
	}
	// With N = L L^T, C^T N^-1 C is W^T W of W = L^-1 C.
	var l mat.TriDense
	c.LTo(&l)
	var w mat.Dense
	if err := w.Solve(&l, f.cross); err != nil && !near(err) {
		return
	}
	a.main.SymRankK(a.main, -1, w.T())
	var v, less mat.VecDense
	if err := v.SolveVec(&l, f.right); err != nil && !near(err) {
		return
	}
	less.MulVec(w.T(), &v)
	a.right.SubVec(a.right, &less)
}

// leave finds what the solution leaves of every row.
func (a *adjuster) leave() {
	for i := range a.faces {
		f := &a.faces[i]
		var c mat.Cholesky
		var r, p mat.VecDense
		r.MulVec(f.cross, a.y)
		r.SubVec(f.right, &r)
		if c.Factorize(f.normal) && c.SolveVecTo(&p, &r) == nil {
			f.plane = [3]float64{p.AtVec(0), p.AtVec(1), p.AtVec(2)}
		}
		for k := range f.groups {
			a.leaveGroup(f, &f.groups[k])
		}
	}
}

func (a *adjuster) leaveGroup(f *face, g *group) {
	var sum float64
	for k := range g.rows {
		w := &g.rows[k]
		w.left = w.off
		for m, v := range w.j {
			w.left += v * a.y.AtVec(a.place(g.part, m))
		}
		for m, v := range w.basis {
			w.left -= v * f.plane[m]
		}
		sum += w.weight * w.left
	}
	g.bias = sum / (g.sum + 1/(a.Spread.Face*a.Spread.Face))
}

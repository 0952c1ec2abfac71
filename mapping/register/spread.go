package register

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// A solution by noise alone would be too good by far: every sweep stands off as a
// whole, and every surface shows itself a little further or nearer to one scanner
// than to another. The pairs' distances are therefore taken for the sum of a
// motion of the still scan, a small rigid motion of every placed scan, an offset
// of every surface, and noise; the first is solved by generalised least squares,
// and the variances of the others are those that make the distances most likely
// (restricted likelihood by expectation and maximisation; Laird and Ware,
// Biometrics 38 (1982) 963).
type spread struct {
	column map[int]int // of a placed scan's first unknown
	dims   int
	sweep  float64 // variance of a placed scan's shift along each axis and of its turn times its reach, mm^2
	offset float64 // variance of a surface's offset, mm^2
	scale  float64 // variance of a pair in units of its own
	most   float64 // variance of all distances, mm^2

	// The normal equations of the pairs, at scale 1.
	a       []float64
	b       *mat.VecDense
	squares float64 // weighted, of the distances
	weight  float64 // sum of the pairs' weights
}

// effects are the unknowns that a pair's distance depends on.
type effects struct {
	motion [6]float64
	first  int // column of its scan's motion, 0 where none is allowed for
	sweep  [6]float64
	offset int // column of its surface
}

const (
	spreadRounds = 60
	// declaredCounts is how many degrees of freedom a declared accuracy counts for
	// against what sweeps show: a rounded figure, good to a third or so, as a
	// standard deviation from four degrees of freedom is.
	declaredCounts = 4.0
	// fewOffsets is for how many surfaces the guess counts that offsets are a
	// quarter of how the distances scatter: a handful of surfaces cannot tell a
	// motion of the scan from offsets of their own.
	fewOffsets = 2.0
	// leastArm keeps the turn of a sweep finite for an eye above the base: no arm
	// that carries a scanner works nearer to its own axis, mm (common practice).
	leastArm = 200.0
)

// newSpread sets up the unknowns for a solution whose pairs lie on surfaces
// planes. accuracy is the arm's declared one, mm, 0 for none: without it one
// placed scan alone says nothing of how far scans are off.
func (s *search) newSpread(of solution, surfaces int, accuracy float64) *spread {
	p := &spread{column: map[int]int{}, dims: 6, scale: 1, most: square(of.scale)}
	p.sweep, p.offset = p.most+square(accuracy), p.most/4
	for i := range of.pairs {
		if k := of.pairs[i].to.scan; p.column[k] == 0 {
			p.column[k] = p.dims
			p.dims += 6
		}
	}
	if len(p.column) == 1 && accuracy == 0 {
		clear(p.column)
		p.dims = 6
	}
	p.gather(s, of, p.dims+surfaces)
	return p
}

// gather adds up the normal equations for so many unknowns.
func (p *spread) gather(s *search, of solution, dims int) {
	eye := of.motion.Apply(s.eye)
	arm := math.Max(r3.Norm(s.m.eye), leastArm)
	p.a, p.b = make([]float64, dims*dims), mat.NewVecDense(dims, nil)
	for i := range of.pairs {
		q := &of.pairs[i]
		e := effects{row(q.normal, q.at, eye, s.lever), p.column[q.to.scan], row(q.normal, q.at, s.m.eye, arm), p.dims + q.surface}
		// By its own noise and by how all of them scatter, for no surface is as smooth
		// as the noise of a patch that was seen edge on.
		weight := q.weight / (q.variance + p.most)
		e.into(p.a, p.b, -q.d, weight)
		p.squares += weight * q.d * q.d
		p.weight += q.weight
	}
	p.dims = dims
}

// solve finds the motion, its covariance in the units of row, and the variances.
// The covariance is that of Student's distribution with as many degrees of freedom
// as the placed scans' motions show, three each but for what they share (shifts
// and turns of a scan go together: one joint's error makes both).
func (p *spread) solve(accuracy float64) (x [6]float64, cov geom.Cov6, ok bool) {
	for range spreadRounds {
		var u *mat.VecDense
		var c *mat.SymDense
		if u, c, ok = p.solution(); !ok {
			return x, cov, false
		}
		p.update(u, c, accuracy)
		for i := range 6 {
			x[i] = u.AtVec(i)
			for j := range 6 {
				cov[i][j] = c.At(i, j)
			}
		}
	}
	if n := float64(3*(len(p.column)-1)) + counts(accuracy); len(p.column) > 0 {
		for i := range cov {
			for j := range cov[i] {
				cov[i][j] *= n / (n - 2)
			}
		}
	}
	return x, cov, true
}

// counts is how many degrees of freedom a declared accuracy stands for.
func counts(accuracy float64) float64 {
	if accuracy > 0 {
		return declaredCounts
	}
	return 0
}

// solution solves the mixed-model equations (Henderson 1953): all unknowns, and
// their covariance.
func (p *spread) solution() (*mat.VecDense, *mat.SymDense, bool) {
	a, b := make([]float64, len(p.a)), mat.NewVecDense(p.dims, nil)
	floats.ScaleTo(a, 1/p.scale, p.a)
	b.ScaleVec(1/p.scale, p.b)
	for i := 6; i < p.dims; i++ {
		v := p.offset
		if i < 6+6*len(p.column) {
			v = p.sweep
		}
		a[i*p.dims+i] += 1 / v
	}
	var c mat.Cholesky
	u, cov := mat.NewVecDense(p.dims, nil), mat.NewSymDense(p.dims, nil)
	if !c.Factorize(mat.NewSymDense(p.dims, a)) || c.InverseTo(cov) != nil || c.SolveVecTo(u, b) != nil {
		return nil, nil, false
	}
	return u, cov, true
}

// terms lists the columns that a pair depends on, and by how much.
func (e *effects) terms(do func(column int, by float64)) {
	for i, v := range e.motion {
		do(i, v)
	}
	if e.first > 0 {
		for i, v := range e.sweep {
			do(e.first+i, v)
		}
	}
	do(e.offset, 1)
}

// into adds a pair of distance y to the normal equations.
func (e *effects) into(a []float64, b *mat.VecDense, y, weight float64) {
	n := b.Len()
	e.terms(func(i int, x float64) {
		b.SetVec(i, b.AtVec(i)+weight*x*y)
		e.terms(func(j int, z float64) { a[i*n+j] += weight * x * z })
	})
}

// update takes the variances that the solution makes most likely.
func (p *spread) update(u *mat.VecDense, c *mat.SymDense, accuracy float64) {
	var sum [2]float64
	var n [2]float64
	for i := 6; i < p.dims; i++ {
		k := 1
		if i < 6+6*len(p.column) {
			k = 0
		}
		sum[k] += square(u.AtVec(i)) + c.At(i, i)
		n[k]++
	}
	sum[0], n[0] = sum[0]+counts(accuracy)*square(accuracy), n[0]+counts(accuracy)
	const least = leastScale * leastScale / 100
	if n[0] > 0 {
		p.sweep = math.Max(sum[0]/n[0], least)
	}
	p.offset = min(math.Max((sum[1]+fewOffsets*p.most/16)/(n[1]+fewOffsets), least), p.most)
	p.scale = math.Max((p.squares-mat.Dot(p.b, u))/(p.weight-6), 1e-6)
}

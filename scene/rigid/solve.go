package rigid

import (
	"errors"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Row says how a length grows with a motion about the system's Centre: by
// Shift . t + Turn . w. Rows of one Group belong to one surface or point; groups
// count from 0 and their rows follow each other.
type Row struct {
	Shift, Turn r3.Vec
	Group       int
}

// System is a set of lengths, mm, that a small motion of a body would explain,
// with their joint covariance, mm^2.
type System struct {
	Centre  r3.Vec  // that the motion is about, mm
	Lever   float64 // the body's half size, mm: a turn counts by what it moves there
	Rows    []Row
	Lengths []float64
	Cov     *mat.SymDense
}

// Coarse is the standard uncertainty, mm, from which on a direction counts as
// open: the outlines of what was seen tell a slide about as well.
const Coarse = 5.0

// Solution is the small motion that explains the lengths best.
type Solution struct {
	Step      [6]float64  // t at Centre (mm), then w (rad); nothing along what is open
	Cov       geom.Cov6   // of Step
	Open      []Direction // what the lengths do not tell
	Motion    Test        // of Step against no motion
	Misfit    Test        // of what the motion leaves of the lengths
	Residuals []float64   // lengths less what the motion explains, mm
	Groups    []Test      // of each group against all the others

	unknown *mat.Dense // orthonormal columns that span Open, scaled; nil: none
	scaled  *mat.SymDense
}

// Solve is the generalised least-squares solution (Searle, Linear Models, 3.6).
// Directions whose standard uncertainty is Coarse or more are left at rest and
// listed. It fails where the covariance is not positive definite.
func (s *System) Solve() (*Solution, error) {
	var chol mat.Cholesky
	if !chol.Factorize(s.Cov) {
		return nil, errors.New("the covariance of the lengths is not positive definite")
	}
	j := s.design()
	y := mat.NewVecDense(len(s.Lengths), s.Lengths)
	var weighed mat.Dense // V^-1 J
	// What Solve returns beside a factor that exists is a warning of its condition,
	// which lengths of unlike weight bring about and a Cholesky factor does not mind.
	_ = chol.SolveTo(&weighed, j)
	var info mat.Dense
	info.Mul(j.T(), &weighed)
	var e mat.EigenSym
	if !e.Factorize(Symmetric(&info), true) {
		return nil, errors.New("the normal equations have no eigenvalues")
	}
	var axes mat.Dense
	e.VectorsTo(&axes)
	var right, x mat.VecDense
	right.MulVec(weighed.T(), y)
	out := s.along(&axes, e.Values(nil), &right, &x)
	s.check(out, &chol, j, y, &x)
	return out, nil
}

// design is the matrix of the rows, turns in mm at the lever.
func (s *System) design() *mat.Dense {
	j := mat.NewDense(len(s.Rows), 6, nil)
	for i, r := range s.Rows {
		j.SetRow(i, []float64{r.Shift.X, r.Shift.Y, r.Shift.Z, r.Turn.X / s.Lever, r.Turn.Y / s.Lever, r.Turn.Z / s.Lever})
	}
	return j
}

// Symmetric is a square matrix that is symmetric but for rounding.
func Symmetric(m *mat.Dense) *mat.SymDense {
	n, _ := m.Dims()
	s := mat.NewSymDense(n, nil)
	for r := range n {
		for c := range r + 1 {
			s.SetSym(r, c, (m.At(r, c)+m.At(c, r))/2)
		}
	}
	return s
}

// along solves axis by axis of the normal equations; x is the step, scaled.
func (s *System) along(axes *mat.Dense, weight []float64, right, x *mat.VecDense) *Solution {
	*x = *mat.NewVecDense(6, nil)
	out := &Solution{scaled: mat.NewSymDense(6, nil)}
	open := 0 // weights ascend: the first so many axes are open
	for k, w := range weight {
		axis := axes.ColView(k)
		if w < 1/(Coarse*Coarse) {
			open++
			continue
		}
		step := mat.Dot(axis, right) / w
		x.AddScaledVec(x, step, axis)
		out.scaled.SymRankOne(out.scaled, 1/w, axis)
		out.Motion.ChiSquare += step * step * w
		out.Motion.Freedom++
	}
	if open > 0 {
		out.unknown = mat.DenseCopyOf(axes.Slice(0, 6, 0, open))
		out.Open = directions(out.unknown, s.Centre, s.Lever)
	}
	for i := range 6 {
		out.Step[i] = x.AtVec(i) / unit(i, s.Lever)
		for k := range 6 {
			out.Cov[i][k] = out.scaled.At(i, k) / unit(i, s.Lever) / unit(k, s.Lever)
		}
	}
	return out
}

// check works out the residuals and tests them: all together, and each group
// against the rest (Baarda's data snooping for groups of observations;
// Teunissen, Testing Theory, 2nd ed., 3.4).
func (s *System) check(out *Solution, chol *mat.Cholesky, j *mat.Dense, y, x *mat.VecDense) {
	n := len(s.Lengths)
	var rest, pull mat.VecDense
	rest.MulVec(j, x)
	rest.SubVec(y, &rest)
	_ = chol.SolveVecTo(&pull, &rest)
	out.Residuals = append([]float64(nil), rest.RawVector().Data...)
	out.Misfit = Test{ChiSquare: mat.Dot(&rest, &pull), Freedom: n - out.Motion.Freedom}
	var inverse mat.SymDense
	_ = chol.InverseTo(&inverse)
	var jc, fit, weighed mat.Dense
	weighed.Mul(&inverse, j)
	jc.Mul(&weighed, out.scaled)
	fit.Mul(&jc, weighed.T())
	for from := 0; from < n; {
		to := from
		for to < n && s.Rows[to].Group == s.Rows[from].Group {
			to++
		}
		size := to - from
		block := mat.NewDense(size, size, nil)
		whole := 0.0
		for r := range size {
			for c := range size {
				block.Set(r, c, inverse.At(from+r, from+c)-fit.At(from+r, from+c))
			}
			whole = max(whole, inverse.At(from+r, from+r))
		}
		out.Groups = append(out.Groups, quadratic(Symmetric(block), pull.RawVector().Data[from:to], whole))
		from = to
	}
}

// controlled is the least share of a length's weight that the other lengths must
// control for its residual to tell anything (redundancy number; common practice
// in surveying asks for several times as much of a good network).
const controlled = 0.02

// quadratic is g^T S^-1 g over the directions of S that are controlled.
func quadratic(s *mat.SymDense, g []float64, whole float64) Test {
	var e mat.EigenSym
	var t Test
	if !e.Factorize(s, true) {
		return t
	}
	var axes mat.Dense
	e.VectorsTo(&axes)
	v := mat.NewVecDense(len(g), g)
	for k, w := range e.Values(nil) {
		if w < controlled*whole {
			continue
		}
		along := mat.Dot(axes.ColView(k), v)
		t.ChiSquare += along * along / w
		t.Freedom++
	}
	return t
}

package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// scatterOf has the given principal values along the columns of r.
func scatterOf(w [3]float64, r Rot) Sym3 {
	var s Sym3
	for i := range w {
		s = s.Plus(Outer(w[i], r.Axis(i)))
	}
	return s
}

func TestEigenAgainstGonum(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 12))
	for i := range 3000 {
		w := [3]float64{rng.ExpFloat64(), rng.ExpFloat64(), rng.ExpFloat64()}
		switch i % 5 {
		case 1: // a thin plane
			w[0] *= 1e-9
		case 2: // a line
			w[0], w[1] = 1e-6*w[0], 1e-6*w[1]
		case 3: // two alike
			w[1] = w[0]
		case 4: // huge
			w[0], w[1], w[2] = 1e12*w[0], 1e12*w[1], 1e12*w[2]
		}
		s := scatterOf(w, Exp(randomVec(rng)))
		var e mat.EigenSym
		if !e.Factorize(mat.NewSymDense(3, []float64{s[0], s[1], s[2], s[1], s[3], s[4], s[2], s[4], s[5]}), false) {
			t.Fatal("gonum did not converge")
		}
		got, v := s.Eigen()
		want := e.Values(nil)
		for k := range got {
			if math.Abs(got[k]-want[k]) > 1e-14*want[2] {
				t.Fatalf("eigenvalues of %v: %v, gonum %v", s, got, want)
			}
			axis := v.Axis(k)
			if d := math.Abs(s.Form(axis) - got[k]); d > 1e-14*want[2] || math.Abs(r3.Norm(axis)-1) > 1e-14 {
				t.Fatalf("axis %v does not belong to %g: form is off by %g", axis, got[k], d)
			}
		}
		if d := apart(v.T().Mul(v), IdentityRot()); d > 1e-14 {
			t.Fatalf("eigenvectors are not orthonormal: off by %g", d)
		}
	}
}

func TestEigenOfNothing(t *testing.T) {
	w, v := Sym3{}.Eigen()
	if w != [3]float64{} || v != IdentityRot() {
		t.Errorf("zero matrix: %v %v", w, v)
	}
}

func TestEigenOfADiagonalIsExactAndSorted(t *testing.T) {
	w, v := Sym3{5, 0, 0, 1, 0, 3}.Eigen()
	if w != [3]float64{1, 3, 5} {
		t.Errorf("eigenvalues %v, want 1 3 5", w)
	}
	if v.Axis(0) != (r3.Vec{Y: 1}) || v.Axis(1) != (r3.Vec{Z: 1}) || v.Axis(2) != (r3.Vec{X: 1}) {
		t.Errorf("axes %v do not follow the values", v)
	}
}

func BenchmarkEigen(b *testing.B) {
	s := scatterOf([3]float64{1e-3, 1, 2}, Exp(r3.Vec{X: .3, Y: .2, Z: .1}))
	for b.Loop() {
		s.Eigen()
	}
}

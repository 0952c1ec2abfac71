package surface

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The inverse as gonum's LU decomposition has it.
func TestInverse(t *testing.T) {
	a := mat3{{4, -2, 0.5}, {1, 3, 7}, {-1, 0.25, 2}}
	var want mat.Dense
	if err := want.Inverse(mat.NewDense(3, 3, []float64{4, -2, 0.5, 1, 3, 7, -1, 0.25, 2})); err != nil {
		t.Fatal(err)
	}
	got, det := a.inverse()
	if w := mat.Det(mat.NewDense(3, 3, []float64{4, -2, 0.5, 1, 3, 7, -1, 0.25, 2})); math.Abs(det-w) > 1e-12 {
		t.Errorf("determinant %g, want %g", det, w)
	}
	for i := range 3 {
		for j := range 3 {
			if math.Abs(got[i][j]-want.At(i, j)) > 1e-12 {
				t.Errorf("[%d][%d] is %g, want %g", i, j, got[i][j], want.At(i, j))
			}
		}
	}
}

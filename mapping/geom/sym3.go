package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Sym3 is a symmetric 3 x 3 matrix: xx, xy, xz, yy, yz, zz.
type Sym3 [6]float64

// Plus adds two matrices.
func (s Sym3) Plus(t Sym3) Sym3 {
	for i := range s {
		s[i] += t[i]
	}
	return s
}

// Outer is w v v^T.
func Outer(w float64, v r3.Vec) Sym3 {
	return Sym3{w * v.X * v.X, w * v.X * v.Y, w * v.X * v.Z, w * v.Y * v.Y, w * v.Y * v.Z, w * v.Z * v.Z}
}

// Form is v^T s v.
func (s Sym3) Form(v r3.Vec) float64 {
	return s[0]*v.X*v.X + s[3]*v.Y*v.Y + s[5]*v.Z*v.Z + 2*(s[1]*v.X*v.Y+s[2]*v.X*v.Z+s[4]*v.Y*v.Z)
}

// Eigen returns the eigenvalues in ascending order and, as columns, their unit
// eigenvectors, by cyclic Jacobi rotations (Golub and Van Loan, Matrix
// Computations, 8.5): as accurate for the small values as for the large, which
// the closed cubic form is not, and a plane's thickness is the small one.
func (s Sym3) Eigen() ([3]float64, Rot) {
	a := [3][3]float64{{s[0], s[1], s[2]}, {s[1], s[3], s[4]}, {s[2], s[4], s[5]}}
	v := IdentityRot()
	for range 16 {
		off := math.Abs(a[0][1]) + math.Abs(a[0][2]) + math.Abs(a[1][2])
		if off <= 1e-18*(math.Abs(a[0][0])+math.Abs(a[1][1])+math.Abs(a[2][2])) {
			break
		}
		for _, pq := range [3][2]int{{0, 1}, {0, 2}, {1, 2}} {
			jacobi(&a, &v, pq[0], pq[1])
		}
	}
	return ascending([3]float64{a[0][0], a[1][1], a[2][2]}, v)
}

// jacobi zeroes a[p][q] by a rotation in the p-q plane and gathers it in v.
func jacobi(a *[3][3]float64, v *Rot, p, q int) {
	if a[p][q] == 0 {
		return
	}
	h := (a[q][q] - a[p][p]) / (2 * a[p][q])
	t := math.Copysign(1, h) / (math.Abs(h) + math.Sqrt(h*h+1))
	c := 1 / math.Sqrt(t*t+1)
	s := t * c
	r := 3 - p - q
	apq := a[p][q]
	a[p][p] -= t * apq
	a[q][q] += t * apq
	a[p][q], a[q][p] = 0, 0
	arp, arq := a[r][p], a[r][q]
	a[r][p], a[r][q] = c*arp-s*arq, s*arp+c*arq
	a[p][r], a[q][r] = a[r][p], a[r][q]
	for i := range 3 {
		v[i][p], v[i][q] = c*v[i][p]-s*v[i][q], s*v[i][p]+c*v[i][q]
	}
}

// ascending sorts eigenvalues with their columns.
func ascending(w [3]float64, v Rot) ([3]float64, Rot) {
	order := [3]int{0, 1, 2}
	for _, ij := range [3][2]int{{0, 1}, {1, 2}, {0, 1}} {
		if w[order[ij[0]]] > w[order[ij[1]]] {
			order[ij[0]], order[ij[1]] = order[ij[1]], order[ij[0]]
		}
	}
	return [3]float64{w[order[0]], w[order[1]], w[order[2]]},
		RotFromAxes(v.Axis(order[0]), v.Axis(order[1]), v.Axis(order[2]))
}

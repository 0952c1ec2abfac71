// Package mount finds where the scanner sits on the flange.
package mount

import (
	"errors"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Move is one motion of the flange and what the sensor made of it: A takes the
// flange's frame after the motion to that before, B the sensor's.
type Move struct{ A, B geom.Pose }

// ErrOneAxis says that all moves turn about one axis, or do not turn: the
// sensor could then slide along that axis and nothing would show it.
var ErrOneAxis = errors.New("the moves turn about one axis only, or hardly: add one that turns about another by 10 degrees or more")

// leastTurn is the least combined turn about a second axis, rad: that of a
// single move by 10 degrees. Below it an error of the rotations reaches the
// mount some six times enlarged.
const leastTurn = 0.17

// HandEye solves A X = X B for X, flangeFromSensor, over all moves: the rotation
// by least squares on the moves' rotation vectors, then the translation by
// linear least squares (Park and Martin, IEEE Trans. Robotics and Automation 10
// (1994) 717, with the orthogonal factor taken by singular values). The error is
// ErrOneAxis where the moves do not determine X.
func HandEye(moves []Move) (geom.Pose, error) {
	r, err := handEyeTurn(moves)
	if err != nil {
		return geom.Pose{}, err
	}
	t, err := handEyeShift(moves, r)
	return geom.Pose{R: r, T: t}, err
}

// handEyeTurn is the R that best takes the rotation vectors of B to those of A.
func handEyeTurn(moves []Move) (geom.Rot, error) {
	m := mat.NewDense(3, 3, nil)
	for _, v := range moves {
		a, b := column(v.A.R.Log()), column(v.B.R.Log())
		m.RankOne(m, 1, a, b)
	}
	var svd mat.SVD
	if !svd.Factorize(m, mat.SVDFull) || svd.Values(nil)[1] < leastTurn*leastTurn {
		return geom.Rot{}, ErrOneAxis
	}
	var u, v, r mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	sign := 1.0
	if mat.Det(&u)*mat.Det(&v) < 0 {
		sign = -1
	}
	r.Product(&u, mat.NewDiagDense(3, []float64{1, 1, sign}), v.T())
	var out geom.Rot
	for i := range 3 {
		for j := range 3 {
			out[i][j] = r.At(i, j)
		}
	}
	return out, nil
}

// handEyeShift solves (R_A - I) t = R t_B - t_A.
func handEyeShift(moves []Move, r geom.Rot) (r3.Vec, error) {
	left, right := mat.NewDense(3*len(moves), 3, nil), mat.NewVecDense(3*len(moves), nil)
	for k, v := range moves {
		d := r3.Sub(r.Apply(v.B.T), v.A.T)
		for i, di := range [3]float64{d.X, d.Y, d.Z} {
			right.SetVec(3*k+i, di)
			for j := range 3 {
				left.Set(3*k+i, j, v.A.R[i][j]-geom.IdentityRot()[i][j])
			}
		}
	}
	var t mat.VecDense
	if err := t.SolveVec(left, right); err != nil {
		return r3.Vec{}, ErrOneAxis
	}
	return r3.Vec{X: t.AtVec(0), Y: t.AtVec(1), Z: t.AtVec(2)}, nil
}

func column(v r3.Vec) *mat.VecDense { return mat.NewVecDense(3, []float64{v.X, v.Y, v.Z}) }

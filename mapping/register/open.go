package register

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// told is the least share of the pairs' weight that must speak for the weakest of
// the six motions: what noise feigns through the normals of planes, each from its
// many patches, is a hundred times less. toldPairs is the least of that weight in
// pairs: a few patches, at the end of a wall or the rim of a sheet, can be wrong
// together.
const (
	told      = 0.002
	toldPairs = 10.0
)

// freedom is a motion that the shared surfaces leave open: a shift and a turn,
// the turn times a lever, which add up to 1 in square.
type freedom struct{ shift, turn r3.Vec }

// open are the motions, about the middle of the pairs, that these do not tell.
func (s *search) open(of *solution) []freedom {
	var middle r3.Vec
	var weight, spread float64
	for i := range of.pairs {
		middle = r3.Add(middle, r3.Scale(of.pairs[i].weight, of.pairs[i].at))
		weight += of.pairs[i].weight
	}
	middle = r3.Scale(1/weight, middle)
	for i := range of.pairs {
		spread += of.pairs[i].weight / weight * r3.Norm2(r3.Sub(of.pairs[i].at, middle))
	}
	lever := math.Sqrt(spread)
	var n normal6
	for i := range of.pairs {
		n.add(row(of.pairs[i].normal, of.pairs[i].at, middle, lever), 0, of.pairs[i].weight/weight)
	}
	var e mat.EigenSym
	if !e.Factorize(n.matrix(), true) {
		return nil
	}
	var v mat.Dense
	e.VectorsTo(&v)
	var out []freedom
	for k, share := range e.Values(nil) {
		if share < told || share*weight < toldPairs {
			out = append(out, freedomOf(&v, k))
		}
	}
	return out
}

// weakest is the motion that a covariance, whose turns are in the same unit as its
// shifts, leaves least certain, and its deviation.
func weakest(cov geom.Cov6) (freedom, float64) {
	a := mat.NewSymDense(6, nil)
	for i := range 6 {
		for j := i; j < 6; j++ {
			a.SetSym(i, j, cov[i][j])
		}
	}
	var e mat.EigenSym
	if !e.Factorize(a, true) {
		return freedom{}, math.Inf(1)
	}
	var v mat.Dense
	e.VectorsTo(&v)
	return freedomOf(&v, 5), math.Sqrt(e.Values(nil)[5])
}

func freedomOf(v *mat.Dense, k int) freedom {
	return freedom{
		shift: r3.Vec{X: v.At(0, k), Y: v.At(1, k), Z: v.At(2, k)},
		turn:  r3.Vec{X: v.At(3, k), Y: v.At(4, k), Z: v.At(5, k)},
	}
}

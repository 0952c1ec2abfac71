package mount

import (
	"math"

	"cellwall/mapping/align"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Direction is a combination of a Change's parts that the scans tell as one, and
// independently of the other directions.
type Direction struct {
	Unit  Change  // the change of size 1, which moves points by some 1 mm
	Sigma float64 // how well its size is told, one sigma
	Told  bool    // well enough to change the mount by it
	read  Change  // reads the size off a change
}

// Along is the size of d in this direction.
func (v *Direction) Along(d Change) (size float64) {
	for k := range d {
		size += v.read[k] * d[k]
	}
	return size
}

// leastTold is the deviation, mm at a point, from which on a direction is not
// told: a mount taken from a drawing is known as well (common practice).
const leastTold = 0.5

// unmodelled is by how much more a mount errs than noise, scans and their parts
// explain. In most invented cells nothing is left (over 50 of them the median of
// the squared errors in deviations is 6.3, as it should be for seven), but in one
// of ten the squares are twice to four times what they should be.
const unmodelled = 1.5

// directions are the principal axes of the information on a Change, from the
// best told to the least, and the sizes that solve the normal equations. scale
// makes the parts comparable: turns and latency count by how far they move
// points.
func directions(info *mat.SymDense, right *mat.VecDense, scale []float64) (all []Direction, sizes []float64) {
	var e mat.EigenSym
	e.Factorize(info, true) // of a finite symmetric matrix it does not fail
	var v mat.Dense
	e.VectorsTo(&v)
	values := e.Values(nil)
	for i := len(scale) - 1; i >= 0; i-- {
		dir := Direction{Sigma: math.Inf(1)}
		if values[i] > 0 { // else nothing tells it
			dir.Sigma = unmodelled / math.Sqrt(values[i])
		}
		dir.Told = dir.Sigma < leastTold
		size := 0.0
		for k := range scale {
			dir.Unit[k], dir.read[k] = scale[k]*v.At(k, i), v.At(k, i)/scale[k]
			size += v.At(k, i) * right.AtVec(k) / values[i]
		}
		all, sizes = append(all, dir), append(sizes, size)
	}
	return all, sizes
}

// Change is by how much the mount found differs from the given one.
func (s *Solution) Change() Change { return s.Found.Minus(s.Given) }

// Cov is the covariance of the told part of the mount found, in the units of a
// Change.
func (s *Solution) Cov() (c [align.Params][align.Params]float64) {
	for _, v := range s.Directions {
		if !v.Told {
			continue
		}
		for i := range c {
			for k := range c {
				c[i][k] += v.Sigma * v.Sigma * v.Unit[i] * v.Unit[k]
			}
		}
	}
	return c
}

// level is that of the tests of significance (common practice).
const level = 0.95

// Significant tells whether the given mount is off by more than chance explains:
// the chi-square test of the change along the directions told.
func (s *Solution) Significant() bool {
	var chi, n float64
	d := s.Change()
	for _, v := range s.Directions {
		if v.Told {
			size := v.Along(d)
			chi += size * size / (v.Sigma * v.Sigma)
			n++
		}
	}
	return n > 0 && chi > distuv.ChiSquared{K: n}.Quantile(level)
}

// Blend is how much of part k of a Change lies in directions that are not told,
// 0 to 1.
func (s *Solution) Blend(k int) (share float64) {
	for _, v := range s.Directions {
		if !v.Told {
			share += v.Unit[k] * v.read[k]
		}
	}
	return share
}

package mapping

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// columns are the directions of a profile's rays, scanner frame, by their place in
// the profile: what the returns in other profiles of a piece tell of a ray that
// gave none. Nothing is told of a scanner that leaves out of the file what did not
// come back, so that its profiles have not all the same number of points.
type columns struct {
	sum   []r3.Vec  // of the unit vectors from the eye to the returns
	n     []float64 // returns
	known []bool
}

func (c *columns) forget() { c.sum, c.n, c.known = c.sum[:0], c.n[:0], c.known[:0] }

// sameColumn is by how much of the angle between columns the returns of one may
// scatter, one sigma: rays of fixed places scatter by the rounding of coordinates
// alone, those that begin anywhere by some columns.
const sameColumn = 0.5

// learn takes in the returns of a piece.
func (c *columns) learn(p *piece) {
	even := true
	p.profiles(func(from, to int) {
		if len(c.n) == 0 {
			c.sum, c.n = append(c.sum, make([]r3.Vec, to-from)...), append(c.n, make([]float64, to-from)...)
		}
		if even = even && to-from == len(c.n); !even {
			return
		}
		for i := from; i < to; i++ {
			if returned(p.p[i]) {
				c.sum[i-from] = r3.Add(c.sum[i-from], r3.Unit(r3.Sub(p.p[i], p.eye)))
				c.n[i-from]++
			}
		}
	})
	if !even {
		c.forget()
		return
	}
	limit := sameColumn * c.pitch()
	for k, n := range c.n {
		// Unit vectors that scatter by a small angle s about their mean add up to
		// n (1 - s^2/2).
		scatter := math.Sqrt(max(0, 2*(1-norm(c.sum[k])/max(n, 1))))
		c.known = append(c.known, n >= 2 && scatter <= limit)
	}
}

// pitch is the angle between neighbouring columns, the harmonic mean, which gaps
// do not lengthen, rad.
func (c *columns) pitch() float64 {
	per, pairs := 0.0, 0.0
	for k := 1; k < len(c.n); k++ {
		if c.n[k-1] > 0 && c.n[k] > 0 {
			if a := norm(r3.Sub(r3.Unit(c.sum[k]), r3.Unit(c.sum[k-1]))); a > 0 {
				per, pairs = per+1/a, pairs+1
			}
		}
	}
	return pairs / per
}

// at is the direction of column k, unit; ok is false where it is not known.
func (c *columns) at(k int) (along r3.Vec, ok bool) {
	if k >= len(c.known) || !c.known[k] {
		return along, false
	}
	return r3.Unit(c.sum[k]), true
}

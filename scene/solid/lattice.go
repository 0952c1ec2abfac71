package solid

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/spatial/r3"
)

// A convex hull in floating point goes wrong where points are nearly coplanar:
// two facets disagree on which side a point lies, and the surface tears. Points
// are therefore moved onto a lattice of whole numbers, where every decision is
// exact.

// node is a lattice point. Coordinates stay below 2^29 from the origin of the
// set, so that a facet's normal fits into 62 bits.
type node [3]int64

const latticeLimit = 1 << 29

func (a node) minus(b node) node { return node{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func (a node) cross(b node) node {
	return node{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (a node) vec() r3.Vec { return r3.Vec{X: float64(a[0]), Y: float64(a[1]), Z: float64(a[2])} }

func (a node) compare(b node) int {
	for i := range a {
		if a[i] != b[i] {
			if a[i] < b[i] {
				return -1
			}
			return 1
		}
	}
	return 0
}

// wall is an oriented plane through three lattice points.
type wall struct {
	through node
	normal  node
	float   r3.Vec // normal
}

func newWall(a, b, c node) wall {
	n := b.minus(a).cross(c.minus(a))
	return wall{through: a, normal: n, float: n.vec()}
}

// height of p above the wall in units of the normal's length. Its sign is
// exact, and it is zero on the wall.
//
// The float value is a sum of three products of numbers that each carry one
// rounding: its error is below 5 u times the sum of the products' sizes, with
// u = 2^-53 (Higham, Accuracy and Stability of Numerical Algorithms, 3.1).
// Where that leaves the sign open, the sum is formed in 128 bits.
func (w wall) height(p node) float64 {
	d := p.minus(w.through)
	f := d.vec()
	x, y, z := f.X*w.float.X, f.Y*w.float.Y, f.Z*w.float.Z
	h := x + y + z
	if math.Abs(h) > 0x1p-50*(math.Abs(x)+math.Abs(y)+math.Abs(z)) {
		return h
	}
	var s int128
	for i := range d {
		s.addProduct(d[i], w.normal[i])
	}
	return s.float()
}

// int128 is a two's complement sum of products.
type int128 struct{ hi, lo uint64 }

func (s *int128) addProduct(a, b int64) {
	negative := (a < 0) != (b < 0)
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	var carry uint64
	if negative {
		s.lo, carry = bits.Sub64(s.lo, lo, 0)
		s.hi, _ = bits.Sub64(s.hi, hi, carry)
		return
	}
	s.lo, carry = bits.Add64(s.lo, lo, 0)
	s.hi, _ = bits.Add64(s.hi, hi, carry)
}

func magnitude(a int64) uint64 {
	if a < 0 {
		return uint64(-a)
	}
	return uint64(a)
}

func (s int128) float() float64 {
	if int64(s.hi) >= 0 {
		return float64(s.hi)*0x1p64 + float64(s.lo)
	}
	lo, borrow := bits.Sub64(0, s.lo, 0)
	hi, _ := bits.Sub64(0, s.hi, borrow)
	return -(float64(hi)*0x1p64 + float64(lo))
}

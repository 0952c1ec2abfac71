package sight

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Lattice divides a box along the base's axes into cubes.
type Lattice struct {
	Origin r3.Vec  // the box's least corner, base frame, mm
	Edge   float64 // of a cube, mm
	N      [3]int  // cubes along X, Y, Z
}

// Round is the least lattice of cubes of that edge whose corners lie on whole
// multiples of it, and that holds b.
func Round(b geom.Bounds, edge float64) Lattice {
	l := Lattice{Edge: edge}
	down := func(x float64) float64 { return edge * math.Floor(x/edge) }
	l.Origin = r3.Vec{X: down(b.Min.X), Y: down(b.Min.Y), Z: down(b.Min.Z)}
	size := r3.Sub(b.Max, l.Origin)
	for i, s := range [3]float64{size.X, size.Y, size.Z} {
		l.N[i] = max(1, int(math.Ceil(s/edge)))
	}
	return l
}

// Halved is the lattice of eight cubes for each.
func (l Lattice) Halved() Lattice {
	return Lattice{Origin: l.Origin, Edge: l.Edge / 2, N: [3]int{2 * l.N[0], 2 * l.N[1], 2 * l.N[2]}}
}

// Cubes is how many there are.
func (l Lattice) Cubes() int { return l.N[0] * l.N[1] * l.N[2] }

// At is the cube that holds p; it need not lie within the lattice, see Holds.
func (l Lattice) At(p r3.Vec) [3]int {
	d := r3.Scale(1/l.Edge, r3.Sub(p, l.Origin))
	return [3]int{int(math.Floor(d.X)), int(math.Floor(d.Y)), int(math.Floor(d.Z))}
}

// Holds tells whether the cube is one of the lattice's.
func (l Lattice) Holds(c [3]int) bool {
	return c[0] >= 0 && c[1] >= 0 && c[2] >= 0 && c[0] < l.N[0] && c[1] < l.N[1] && c[2] < l.N[2]
}

// Span is the range of cubes that touch b, cut to the lattice; lo exceeds hi
// along an axis where none does.
func (l Lattice) Span(b geom.Bounds) (lo, hi [3]int) {
	lo, hi = l.At(b.Min), l.At(b.Max)
	for i := range lo {
		lo[i], hi[i] = max(lo[i], 0), min(hi[i], l.N[i]-1)
	}
	return lo, hi
}

// Centre of a cube, base frame, mm.
func (l Lattice) Centre(c [3]int) r3.Vec {
	return r3.Add(l.Origin, r3.Scale(l.Edge, r3.Vec{X: float64(c[0]) + .5, Y: float64(c[1]) + .5, Z: float64(c[2]) + .5}))
}

// HalfDiagonal is how far a cube's corner lies from its centre, mm.
func (l Lattice) HalfDiagonal() float64 { return l.Edge * math.Sqrt(3) / 2 }

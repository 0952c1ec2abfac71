package sight

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Walk marks every cube that a ray's clear way from a to b crosses, but for the
// one in which it ends: what lies there was not crossed. It goes from cube to cube
// through the nearest of the three walls ahead (Amanatides and Woo, A Fast Voxel
// Traversal Algorithm for Ray Tracing, Eurographics 1987), over places instead
// of coordinates.
func (g *Grid) Walk(a, b r3.Vec) { g.walk(g.crossed, a, b) }

func (g *Grid) walk(into Bits, a, b r3.Vec) {
	from, to, cut, ok := g.clip(a, b)
	if !ok {
		return
	}
	row := g.crossed.row * wordBits
	x, startX := g.side(from.X, to.X, 0, 1)
	y, startY := g.side(from.Y, to.Y, 1, row)
	z, startZ := g.side(from.Z, to.Z, 2, row*g.crossed.n[1])
	at := startX + startY + startZ
	for left := x.rest + y.rest + z.rest; left > 0; left-- {
		into.mark(at)
		next := &x
		if y.ahead < x.ahead {
			next = &y
		}
		if z.ahead < next.ahead {
			next = &z
		}
		at += next.step
		next.ahead += next.every
		if next.rest--; next.rest == 0 {
			next.ahead = math.Inf(1) // at the end along this axis, whatever rounding says
		}
	}
	if cut {
		into.mark(at) // it goes on beyond the grid
	}
}

// side is a walk along one axis.
type side struct {
	ahead, every float64 // share of the segment at the next wall, and from wall to wall
	step, rest   int     // of place, and how many are left
}

// side begins the walk along axis i from f to t, in edges, where a cube further
// is stride places on; start is the first cube's share of the place.
func (g *Grid) side(f, t float64, i, stride int) (s side, start int) {
	first, last := g.within(f, i), g.within(t, i)
	s = side{ahead: math.Inf(1), every: 1 / math.Abs(t-f), step: stride}
	switch {
	case last > first:
		s.rest, s.ahead = last-first, (float64(first+1)-f)*s.every
	case last < first:
		s.rest, s.ahead, s.step = first-last, (f-float64(first))*s.every, -stride
	}
	return s, first * stride
}

// within is the index of the cube along axis i that holds the coordinate, in
// edges, kept within the lattice against rounding at its faces.
func (g *Grid) within(x float64, i int) int { return min(max(int(x), 0), g.lattice.N[i]-1) }

// clip is the part of the segment within the grid, in edges from its origin,
// and whether the end was cut off; ok is false where there is no such part.
func (g *Grid) clip(a, b r3.Vec) (from, to r3.Vec, cut, ok bool) {
	from = r3.Scale(1/g.lattice.Edge, r3.Sub(a, g.lattice.Origin))
	to = r3.Scale(1/g.lattice.Edge, r3.Sub(b, g.lattice.Origin))
	d := r3.Sub(to, from)
	enter, leave := 0.0, 1.0
	for i := range 3 {
		f, di, n := axis(from, i), axis(d, i), float64(g.lattice.N[i])
		if di == 0 {
			if f < 0 || f >= n {
				return from, to, false, false
			}
			continue
		}
		near, far := -f/di, (n-f)/di
		if near > far {
			near, far = far, near
		}
		enter, leave = max(enter, near), min(leave, far)
	}
	if !(enter < leave) {
		return from, to, false, false
	}
	return r3.Add(from, r3.Scale(enter, d)), r3.Add(from, r3.Scale(leave, d)), leave < 1, true
}

func axis(v r3.Vec, i int) float64 {
	switch i {
	case 0:
		return v.X
	case 1:
		return v.Y
	}
	return v.Z
}

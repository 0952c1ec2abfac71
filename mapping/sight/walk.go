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
func (g *Grid) Walk(a, b r3.Vec) {
	from, to, cut, ok := g.clip(a, b)
	if !ok {
		return
	}
	d := r3.Sub(to, from)
	ahead, every := [3]float64{}, [3]float64{} // share of d at the next wall, and from wall to wall
	step := [3]int{1, g.crossed.row * wordBits, g.crossed.row * wordBits * g.crossed.n[1]}
	at, rest := 0, [3]int{}
	for i := range 3 {
		f, t, di := axis(from, i), axis(to, i), axis(d, i)
		start, end := g.within(f, i), g.within(t, i)
		at += start * step[i]
		every[i] = 1 / math.Abs(di) // +Inf along a wall
		ahead[i] = math.Inf(1)
		switch {
		case end > start:
			rest[i] = end - start
			ahead[i] = (float64(start+1) - f) * every[i]
		case end < start:
			rest[i] = start - end
			ahead[i] = (f - float64(start)) * every[i]
			step[i] = -step[i]
		}
	}
	for left := rest[0] + rest[1] + rest[2]; left > 0; left-- {
		g.crossed.mark(at)
		k := 0
		if ahead[1] < ahead[0] {
			k = 1
		}
		if ahead[2] < ahead[k] {
			k = 2
		}
		at += step[k]
		ahead[k] += every[k]
		if rest[k]--; rest[k] == 0 {
			ahead[k] = math.Inf(1) // at the end along this axis, whatever rounding says
		}
	}
	if cut {
		g.crossed.mark(at) // it goes on beyond the grid
	}
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

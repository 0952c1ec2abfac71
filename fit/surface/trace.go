package surface

import (
	"math"

	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
)

// The four directions along cell sides, counter-clockwise from +x.
var sides = [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

// trace follows the rims of the cells for which in holds, along their sides with
// the inside on the left: outer rims counter-clockwise, holes clockwise. Cells
// that touch at a corner only are kept apart.
func (g grid) trace(in func(x, y int) bool) [][]r2.Vec {
	var out [][]r2.Vec
	done := make([]bool, g.nx*g.ny) // whose lower side was walked
	for y := range g.ny {
		for x := range g.nx {
			if in(x, y) && !in(x, y-1) && !done[y*g.nx+x] {
				out = append(out, g.walk(x, y, in, done))
			}
		}
	}
	return out
}

// walk follows one rim from the lower left corner of the cell x, y, whose lower
// side is on it.
func (g grid) walk(x, y int, in func(x, y int) bool, done []bool) []r2.Vec {
	startX, startY, dir := x, y, 0
	var ring []r2.Vec
	last := -1
	for {
		if dir == 0 {
			done[y*g.nx+x] = true
		}
		if dir != last {
			ring = append(ring, g.node(x, y))
			last = dir
		}
		x, y = x+sides[dir][0], y+sides[dir][1]
		dir = turn(x, y, dir, in)
		if x == startX && y == startY && dir == 0 {
			return ring
		}
	}
}

// turn chooses the way on at a corner of cells: left where it can, for that
// keeps cells that touch at the corner apart, else straight on, else right.
func turn(x, y, dir int, in func(x, y int) bool) int {
	left, right := ahead(x, y, dir)
	switch {
	case !in(left[0], left[1]):
		return (dir + 1) % 4
	case !in(right[0], right[1]):
		return dir
	}
	return (dir + 3) % 4
}

// ahead is the cells on the left and on the right of who stands at corner x, y
// and looks along dir.
func ahead(x, y, dir int) (left, right [2]int) {
	switch dir {
	case 0:
		return [2]int{x, y}, [2]int{x, y - 1}
	case 1:
		return [2]int{x - 1, y}, [2]int{x, y}
	case 2:
		return [2]int{x - 1, y - 1}, [2]int{x - 1, y}
	}
	return [2]int{x, y - 1}, [2]int{x - 1, y - 1}
}

// straighten leaves out the corners of a ring that lie within tol of the way
// past them (Douglas and Peucker, Cartographica 10 (1973) 112), starting from
// the two corners farthest apart.
func straighten(ring []r2.Vec, tol float64) []r2.Vec {
	if len(ring) < 4 {
		return ring
	}
	a := farthest(ring, ring[0])
	b := farthest(ring, ring[a])
	a, b = min(a, b), max(a, b)
	there := ring[a : b+1]
	back := append(append([]r2.Vec(nil), ring[b:]...), ring[:a+1]...)
	out := append(thin(there, tol, nil), thin(back, tol, nil)...)
	if len(out) < 3 || flat.Area(out)*flat.Area(ring) <= 0 {
		return ring
	}
	return out
}

func farthest(ring []r2.Vec, from r2.Vec) int {
	best, d := 0, -1.0
	for i, p := range ring {
		if e := r2.Norm2(r2.Sub(p, from)); e > d {
			best, d = i, e
		}
	}
	return best
}

// thin appends the corners that are kept of an open way, but for its end.
func thin(way []r2.Vec, tol float64, into []r2.Vec) []r2.Vec {
	last := len(way) - 1
	at, d := 0, tol
	for i := 1; i < last; i++ {
		if e := flat.ToSegment(way[i], way[0], way[last]); e > d {
			at, d = i, e
		}
	}
	if at == 0 {
		return append(into, way[0])
	}
	return thin(way[at:], tol, thin(way[:at+1], tol, into))
}

// netArea is the area that a ring bounds less what its holes take.
func netArea(outer []r2.Vec, holes [][]r2.Vec) float64 {
	a := math.Abs(flat.Area(outer))
	for _, h := range holes {
		a -= math.Abs(flat.Area(h))
	}
	return a
}

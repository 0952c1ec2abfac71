package surface

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// grid is a raster over a plane: square cells, row by row.
type grid struct {
	corner r2.Vec  // of cell 0, mm
	cell   float64 // edge, mm
	nx, ny int
}

// newGrid covers the rectangle lo-hi and pad mm more on every side.
func newGrid(lo, hi r2.Vec, cell, pad float64) grid {
	n := math.Ceil(pad / cell)
	return grid{
		corner: r2.Sub(lo, r2.Vec{X: n * cell, Y: n * cell}), cell: cell,
		nx: int(math.Floor((hi.X-lo.X)/cell)) + 1 + 2*int(n),
		ny: int(math.Floor((hi.Y-lo.Y)/cell)) + 1 + 2*int(n),
	}
}

// column and row of a coordinate; the caller keeps to what the grid covers.
func (g grid) column(x float64) int { return int((x - g.corner.X) / g.cell) }
func (g grid) row(y float64) int    { return int((y - g.corner.Y) / g.cell) }

// at is the cell that holds p.
func (g grid) at(p r2.Vec) int { return g.row(p.Y)*g.nx + g.column(p.X) }

// node is the lower left corner of the cell in column x and row y.
func (g grid) node(x, y int) r2.Vec {
	return r2.Add(g.corner, r2.Vec{X: float64(x) * g.cell, Y: float64(y) * g.cell})
}

// between is the distance of two cells, squared, in cells.
func (g grid) between(a, b int) int {
	dx, dy := a%g.nx-b%g.nx, a/g.nx-b/g.nx
	return dx*dx + dy*dy
}

// nearest finds, for every cell, the nearest one that is on; -1 where none is.
// Exact and linear: along columns first, then the lower envelope of parabolas
// along rows (Felzenszwalb and Huttenlocher, Theory of Computing 8 (2012) 415).
func (g grid) nearest(on []bool) []int32 {
	near := make([]int32, len(on))
	for x := range g.nx {
		g.nearestInColumn(on, near, x)
	}
	e := envelope{at: make([]int32, g.nx), from: make([]float64, g.nx+1), cell: make([]int32, g.nx)}
	for y := range g.ny {
		g.nearestInRow(near[y*g.nx:(y+1)*g.nx], y, &e)
	}
	return near
}

func (g grid) nearestInColumn(on []bool, near []int32, x int) {
	last := int32(-1)
	for i := x; i < len(on); i += g.nx {
		if on[i] {
			last = int32(i)
		}
		near[i] = last
	}
	last = -1
	for i := len(on) - g.nx + x; i >= 0; i -= g.nx {
		if on[i] {
			last = int32(i)
		}
		if last >= 0 && (near[i] < 0 || int(last)-i < i-int(near[i])) {
			near[i] = last
		}
	}
}

// envelope is the lower envelope of parabolas: their vertices, the cells they
// stand for, and from where on each is the lowest.
type envelope struct {
	at, cell []int32
	from     []float64
}

func (g grid) nearestInRow(row []int32, y int, e *envelope) {
	k := -1
	height := func(c int32) float64 { d := float64(int(c)/g.nx - y); return d * d }
	for x, c := range row {
		if c < 0 {
			continue
		}
		from := math.Inf(-1)
		for k >= 0 {
			q := float64(e.at[k])
			from = ((height(c) + float64(x*x)) - (height(e.cell[k]) + q*q)) / (2 * (float64(x) - q))
			if from > e.from[k] {
				break
			}
			k--
		}
		if k < 0 {
			from = math.Inf(-1)
		}
		k++
		e.at[k], e.cell[k], e.from[k] = int32(x), c, from
	}
	if k < 0 {
		return
	}
	e.from[k+1] = math.Inf(1)
	j := 0
	for x := range row {
		for e.from[j+1] < float64(x) {
			j++
		}
		row[x] = e.cell[j]
	}
}

// parts numbers the cells that are on by the piece they hang together in, side
// by side; -1 elsewhere. Pieces are numbered in the order of their first cell.
func (g grid) parts(on []bool) (label []int32, count int) {
	label = make([]int32, len(on))
	for i := range label {
		label[i] = -1
	}
	var stack []int32
	for i := range on {
		if !on[i] || label[i] >= 0 {
			continue
		}
		label[i] = int32(count)
		stack = append(stack[:0], int32(i))
		for len(stack) > 0 {
			c := int(stack[len(stack)-1])
			stack = stack[:len(stack)-1]
			for _, n := range g.beside(c) {
				if n >= 0 && on[n] && label[n] < 0 {
					label[n] = int32(count)
					stack = append(stack, int32(n))
				}
			}
		}
		count++
	}
	return label, count
}

// beside lists the four cells that share a side with c, -1 beyond the rim.
func (g grid) beside(c int) [4]int {
	n := [4]int{c - 1, c + 1, c - g.nx, c + g.nx}
	if c%g.nx == 0 {
		n[0] = -1
	}
	if c%g.nx == g.nx-1 {
		n[1] = -1
	}
	if n[3] >= g.nx*g.ny {
		n[3] = -1
	}
	return n // n[2] is below zero in the first row by itself
}

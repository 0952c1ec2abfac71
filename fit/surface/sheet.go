package surface

import (
	"maps"
	"math"
	"slices"

	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
)

// sheet is a region laid out in its plane: which cells of a grid its voxels
// cover, gaps of the sampling closed.
type sheet struct {
	frame geom.Pose // baseFromSheet
	grid
	label []int32 // of each cell: the part it belongs to, or -1
	parts int
}

// mark is the rectangle that a voxel's points fill in a sheet.
type mark struct{ mid, half r2.Vec }

// layOut rasters a region and finds the parts that hang together.
func layOut(spots []spot, r *region) *sheet {
	sh := &sheet{frame: r.plane.Frame(r.Mean)}
	marks := make([]mark, len(r.members))
	edges := make([]float32, len(r.members))
	lo := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}
	hi := r2.Scale(-1, lo)
	for i, m := range r.members {
		p := spots[m].footprint(sh.frame)
		lo = r2.Vec{X: min(lo.X, p.mid.X-p.half.X), Y: min(lo.Y, p.mid.Y-p.half.Y)}
		hi = r2.Vec{X: max(hi.X, p.mid.X+p.half.X), Y: max(hi.Y, p.mid.Y+p.half.Y)}
		marks[i], edges[i] = p, spots[m].edge
	}
	sh.grid = gridFor(lo, hi, edges)
	on, least := sh.paint(marks, edges)
	sh.label, sh.parts = sh.grid.parts(sh.close(on, least))
	return sh
}

// mostCells bounds the grid of one sheet: 0.5 M cells of 10 mm are 50 m^2.
const mostCells = 500_000

// gridFor chooses cells of two thirds of an edge of the finer voxels, for a mean
// lies anywhere in its voxel, and room for the widest gap that close may fill.
func gridFor(lo, hi r2.Vec, edges []float32) grid {
	finer, widest := gauge(edges)
	cell := finer * 2 / 3
	size := r2.Sub(hi, lo)
	pad := slack/2*min(widestPitch, max(size.X, size.Y)) + 2*widest
	cell = max(cell, math.Sqrt((size.X+2*pad)*(size.Y+2*pad)/mostCells))
	return newGrid(lo, hi, cell, pad)
}

// gauge is the edge that a quarter of the voxels do not exceed, and the widest.
// Voxels have a handful of edges, so counting is quicker than sorting.
func gauge(edges []float32) (quarter, widest float64) {
	count := map[float32]int{}
	for _, e := range edges {
		count[e]++
	}
	kinds := slices.Sorted(maps.Keys(count))
	n := 0
	for _, e := range kinds {
		if n += count[e]; 4*n > len(edges) {
			return float64(e), float64(kinds[len(kinds)-1])
		}
	}
	return 0, 0 // no voxels
}

// paint tells which cells the marks cover, and how wide a gap about each of
// these is but chance: a voxel that got no point between two that did leaves a
// gap of two edges at most, half of which is one edge.
func (g grid) paint(marks []mark, edges []float32) (on []bool, least []float32) {
	on, least = make([]bool, g.nx*g.ny), make([]float32, g.nx*g.ny)
	for i, p := range marks {
		half := edges[i] / float32(g.cell)
		for y := g.row(p.mid.Y - p.half.Y); y <= g.row(p.mid.Y+p.half.Y); y++ {
			for x := g.column(p.mid.X - p.half.X); x <= g.column(p.mid.X+p.half.X); x++ {
				c := y*g.nx + x
				if !on[c] || half < least[c] {
					on[c], least[c] = true, half
				}
			}
		}
	}
	return on, least
}

// depth is how far each cell lies inside of its part, mm; 0 outside. Two passes
// with steps along sides and diagonals are within 8 % of the distance (Borgefors,
// Comp. Vision Graphics Image Proc. 34 (1986) 344), and the grid's margin keeps
// the steps within it.
func (sh *sheet) depth() []float32 {
	out := make([]float32, len(sh.label))
	side, diagonal := float32(sh.cell), float32(sh.cell*math.Sqrt2)
	for i, l := range sh.label {
		if l >= 0 {
			out[i] = min(out[i-1]+side, out[i-sh.nx]+side, out[i-sh.nx-1]+diagonal, out[i-sh.nx+1]+diagonal)
		}
	}
	for i := len(out) - 1; i >= 0; i-- {
		if sh.label[i] >= 0 {
			out[i] = min(out[i], out[i+1]+side, out[i+sh.nx]+side, out[i+sh.nx+1]+diagonal, out[i+sh.nx-1]+diagonal)
		}
	}
	return out
}

// split deals the members of the sheet's region out to its parts.
func (sh *sheet) split(spots []spot, r *region) []region {
	out := make([]region, sh.parts)
	for i := range out {
		out[i].plane = r.plane
	}
	for _, m := range r.members {
		out[sh.label[sh.at(spots[m].in(sh.frame))]].add(m, &spots[m])
	}
	return out
}

// outline of a part, and its holes, as polygons in the sheet's frame.
func (sh *sheet) outline(part int32) (outer []r2.Vec, holes [][]r2.Vec) {
	rings := sh.trace(func(x, y int) bool {
		return x >= 0 && y >= 0 && x < sh.nx && y < sh.ny && sh.label[y*sh.nx+x] == part
	})
	for _, ring := range rings {
		a := flat.Area(ring)
		switch {
		case a > 0:
			outer = straighten(ring, sh.cell)
		case -a >= leastHole*sh.cell*sh.cell:
			holes = append(holes, straighten(ring, sh.cell))
		}
	}
	return outer, holes
}

// leastHole is how many cells a hole must have to be told: four by four, a gap
// of two voxels, for a single voxel may be empty by chance.
const leastHole = 16

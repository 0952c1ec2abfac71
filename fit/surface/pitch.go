package surface

import (
	"math"
	"slices"
)

// The sampling of a sheet is uneven: a sweep lays down lines of points, and the
// distance between lines grows with the range. pitch finds, for every cell that
// is on, how far apart the samples are there.

// widestPitch is the greatest distance between scan lines that still counts as
// sampling of one sheet, mm: a swing of one degree per line at the far end of
// the room, 10 m off, gives 175.
const widestPitch = 175.0

// directions in which neighbours are looked for.
var directions = [4][2]int{{1, 0}, {0, 1}, {1, 1}, {1, -1}}

// pitch of every cell that is on, in cells: in each direction the distance to
// the nearer of the two neighbours, then the greatest over the directions. A
// cell at the rim of a sheet has its neighbours on one side and takes theirs.
func (g grid) pitch(on []bool) []float32 {
	out := make([]float32, len(on))
	nearer := make([]float32, len(on))
	for _, d := range directions {
		length := math.Hypot(float64(d[0]), float64(d[1]))
		limit := int(widestPitch / g.cell / length)
		for i := range nearer {
			nearer[i] = 0
		}
		g.lines(d, func(x, y int) { g.along(on, nearer, x, y, d, limit) })
		for i, steps := range nearer {
			out[i] = max(out[i], steps*float32(length))
		}
	}
	return out
}

// lines calls f with the first cell of every line of the grid in direction d.
func (g grid) lines(d [2]int, f func(x, y int)) {
	if d[1] != 0 {
		y := 0
		if d[1] < 0 {
			y = g.ny - 1
		}
		for x := range g.nx {
			f(x, y)
		}
	}
	if d[0] != 0 {
		for y := range g.ny {
			if d[1] == 0 || (d[1] > 0 && y > 0) || (d[1] < 0 && y < g.ny-1) {
				f(0, y)
			}
		}
	}
}

// lineWidth is how many cells side by side may be one line of samples: noise
// along the ray spreads a line that grazes the sheet over a voxel, which is a
// cell and a half, so over two cells, or three where it straddles them.
const lineWidth = 3

// along walks one line of the grid and notes for every cell that is on the steps
// to the nearer sample on it, if that is within limit. In a wide run of cells
// each is a sample; a narrow run is one, and the runs before and after are its
// neighbours.
func (g grid) along(on []bool, nearer []float32, x, y int, d [2]int, limit int) {
	start, stride := y*g.nx+x, d[1]*g.nx+d[0]
	first, last := g.nextRun(on, x, y, d, 0)
	for behind := 0; first <= last; {
		next, end := g.nextRun(on, x, y, d, last+1)
		ahead := 0
		if gap := next - last; next <= end && gap <= limit {
			ahead = gap
		}
		steps := min(behind, ahead)
		if steps == 0 {
			steps = max(behind, ahead)
		}
		if width := last - first + 1; width > lineWidth || steps == 0 && width > 1 {
			steps = 1
		}
		for i := first; i <= last; i++ {
			nearer[start+i*stride] = float32(steps)
		}
		first, last, behind = next, end, ahead
	}
}

// nextRun is the next unbroken row of cells that are on, from step i of a line,
// by the steps of its first and last cell; last is less than first where there
// is none.
func (g grid) nextRun(on []bool, x, y int, d [2]int, i int) (first, last int) {
	x, y = x+i*d[0], y+i*d[1]
	inside := func() bool { return x >= 0 && x < g.nx && y >= 0 && y < g.ny }
	for ; inside() && !on[y*g.nx+x]; i++ {
		x, y = x+d[0], y+d[1]
	}
	first = i
	for ; inside() && on[y*g.nx+x]; i++ {
		x, y = x+d[0], y+d[1]
	}
	return first, i - 1
}

// slack lets a gap be somewhat wider than the pitch beside it, for sampling is
// uneven; 1.5 is half way to a line that is missing.
const slack = 1.5

// close fills the gaps between samples: what lies within half a pitch (times
// slack) of a sample, less what that adds beyond the outermost samples. least is
// the smallest half gap that is closed about each cell that is on, in cells.
func (g grid) close(on []bool, least []float32) []bool {
	pitch := g.pitch(on)
	radius := func(c int32) float64 { return float64(max(slack/2*pitch[c], least[c])) }
	near := g.nearest(on)
	open := make([]bool, len(on))
	for i, c := range near {
		r := radius(c)
		open[i] = float64(g.between(i, int(c))) > r*r
	}
	rim := g.nearest(open)
	closed := make([]bool, len(on))
	for i := range closed {
		r := radius(near[i])
		closed[i] = on[i] || !open[i] && float64(g.between(i, int(rim[i]))) > r*r
	}
	return g.withoutNotches(closed)
}

// withoutNotches fills the cells that have others on both sides: between two
// samples at the rim, the arcs about them leave notches of a cell.
func (g grid) withoutNotches(on []bool) []bool {
	out := slices.Clone(on)
	for i := g.nx; i < len(on)-g.nx; i++ {
		x := i % g.nx
		aside := x > 0 && x < g.nx-1 && on[i-1] && on[i+1]
		out[i] = on[i] || aside || on[i-g.nx] && on[i+g.nx]
	}
	return out
}

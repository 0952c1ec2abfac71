package outline

import (
	"math"

	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
)

// Cells is a figure made of square cells of a plane.
type Cells struct {
	origin r2.Vec
	edge   float64
	n      [2]int
	on     []bool
}

// NewCells is an empty figure that has room for box.
func NewCells(box r2.Box, edge float64) *Cells {
	size := r2.Sub(box.Max, box.Min)
	// A cell more on every side stays empty, so that every border has an outside.
	c := &Cells{origin: r2.Sub(box.Min, r2.Vec{X: edge, Y: edge}), edge: edge,
		n: [2]int{3 + int(size.X/edge), 3 + int(size.Y/edge)}}
	c.on = make([]bool, c.n[0]*c.n[1])
	return c
}

// Cover takes in every cell that lies within radius of the hull of the corners,
// as far as there is room.
func (c *Cells) Cover(corners []r2.Vec, radius float64) {
	reach := radius + c.edge*math.Sqrt2/2 // to a cell's middle
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range corners {
		low, high = min(low, p.Y-reach), max(high, p.Y+reach)
	}
	for row := max(1, c.cell(low-c.origin.Y)); row <= min(c.n[1]-2, c.cell(high-c.origin.Y)); row++ {
		from, to := across(corners, reach, c.origin.Y+(float64(row)+.5)*c.edge)
		c.span(row, from, to)
	}
}

// Span takes in the cells of the row at y whose middles lie between from and to.
func (c *Cells) Span(y, from, to float64) {
	if row := c.cell(y - c.origin.Y); row >= 1 && row <= c.n[1]-2 {
		c.span(row, from, to)
	}
}

func (c *Cells) span(row int, from, to float64) {
	first, last := int(math.Ceil((from-c.origin.X)/c.edge-.5)), int(math.Floor((to-c.origin.X)/c.edge-.5))
	for i := max(1, first); i <= min(c.n[0]-2, last); i++ {
		c.on[row*c.n[0]+i] = true
	}
}

func (c *Cells) cell(x float64) int { return int(math.Floor(x / c.edge)) }

// across is where the line at height y enters and leaves all that lies within r
// of the hull of the corners. Its border is made of those of what lies within r
// of the segments between two corners.
func across(corners []r2.Vec, r, y float64) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	take := func(x float64) { from, to = min(from, x), max(to, x) }
	for i, a := range corners {
		if d := r*r - (y-a.Y)*(y-a.Y); d >= 0 {
			take(a.X - math.Sqrt(d))
			take(a.X + math.Sqrt(d))
		}
		for _, b := range corners[:i] {
			v := r2.Sub(b, a)
			l := math.Hypot(v.X, v.Y)
			if l == 0 {
				continue
			}
			for _, side := range [2]float64{r / l, -r / l} {
				p := r2.Add(a, r2.Vec{X: -v.Y * side, Y: v.X * side})
				if t := (y - p.Y) / v.Y; t >= 0 && t <= 1 {
					take(p.X + t*v.X)
				}
			}
		}
	}
	return from, to
}

// Add takes in the cells of another figure made for the same box.
func (c *Cells) Add(o *Cells) {
	for i, on := range o.on {
		c.on[i] = c.on[i] || on
	}
}

// Rings are the figure's borders, the figure to their left, with no corner that a
// line between others passes within a cell of (Douglas and Peucker, Cartographica
// 10 (1973) 112).
func (c *Cells) Rings() []Ring {
	next := c.border()
	var out []Ring
	for y := range c.n[1] {
		for x := range c.n[0] {
			for at := [2]int{x, y}; len(next[at]) > 0; {
				out = append(out, c.follow(next, at).thinned(c.edge))
			}
		}
	}
	return out
}

// border are the sides between a cell of the figure and one outside, by where
// they start.
func (c *Cells) border() map[[2]int][][2]int {
	next := map[[2]int][][2]int{}
	corner := [4][2]int{{0, 0}, {1, 0}, {1, 1}, {0, 1}} // counter-clockwise
	beside := [4][2]int{{0, -1}, {1, 0}, {0, 1}, {-1, 0}}
	for y := range c.n[1] {
		for x := range c.n[0] {
			if !c.on[y*c.n[0]+x] {
				continue
			}
			for k := range 4 {
				if c.on[(y+beside[k][1])*c.n[0]+x+beside[k][0]] {
					continue
				}
				from, to := corner[k], corner[(k+1)%4]
				at := [2]int{x + from[0], y + from[1]}
				next[at] = append(next[at], [2]int{x + to[0], y + to[1]})
			}
		}
	}
	return next
}

// follow takes one ring out of the border.
func (c *Cells) follow(next map[[2]int][][2]int, start [2]int) Ring {
	var ring Ring
	for at := start; ; {
		ring = append(ring, r2.Add(c.origin, r2.Scale(c.edge, r2.Vec{X: float64(at[0]), Y: float64(at[1])})))
		ends := next[at]
		to := ends[len(ends)-1]
		if next[at] = ends[:len(ends)-1]; len(ends) == 1 {
			delete(next, at)
		}
		if at = to; at == start {
			return ring
		}
	}
}

// thinned leaves out corners that lie within tol of a line between others.
func (r Ring) thinned(tol float64) Ring {
	far := 0 // from the first corner: both are kept
	for i := range r {
		if r2.Norm2(r2.Sub(r[i], r[0])) > r2.Norm2(r2.Sub(r[far], r[0])) {
			far = i
		}
	}
	back := append(append(Ring{}, r[far:]...), r[0])
	out := append(Ring{r[0]}, thin(r[:far+1], tol)...)
	out = append(out, thin(back, tol)...)
	return out[:len(out)-1]
}

// thin is the corners of a line after its first.
func thin(line Ring, tol float64) Ring {
	a, b := line[0], line[len(line)-1]
	worst, at := tol, 0
	for i := 1; i < len(line)-1; i++ {
		if d := flat.ToSegment(line[i], a, b); d > worst {
			worst, at = d, i
		}
	}
	if at == 0 {
		return Ring{b}
	}
	return append(thin(line[:at+1], tol), thin(line[at:], tol)...)
}

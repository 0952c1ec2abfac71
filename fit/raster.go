package fit

import (
	"math"
	"slices"
)

// raster is a sheet in squares.
type raster struct {
	region  rect
	nx, ny  int
	through []bool  // rays went through
	flat    []bool  // rays ended on the sheet
	proud   []bool  // or before it
	unseen  float64 // score of a square of which nothing was seen
}

// rasterPitch is the edge of a square, mm: the rectangle need only be found to
// within the reach of the search for its borders.
const rasterPitch = 20

// raster of what lies in region.
func (s *sheet) raster(region rect) *raster {
	t := &raster{
		region: region,
		nx:     max(int(math.Ceil(region.size(0)/rasterPitch)), 1),
		ny:     max(int(math.Ceil(region.size(1)/rasterPitch)), 1),
	}
	if s.thin {
		t.unseen = thinUnseen
	}
	t.through, t.flat, t.proud = t.mark(s.open), t.mark(s.closed), t.mark(s.proud)
	return t
}

// mark tells which squares the patches cover, wholly or in part.
func (t *raster) mark(patches []patch) []bool {
	squares := make([]bool, t.nx*t.ny)
	for _, p := range patches {
		var from, to [2]int
		for a, n := range [2]int{t.nx, t.ny} {
			from[a] = max(int(math.Floor((p.at[a]-p.lo[a]-t.region.lo[a])/rasterPitch)), 0)
			to[a] = min(int(math.Floor((p.at[a]+p.hi[a]-t.region.lo[a])/rasterPitch)), n-1)
		}
		for y := from[1]; y <= to[1]; y++ {
			for x := from[0]; x <= to[0]; x++ {
				squares[y*t.nx+x] = true
			}
		}
	}
	return squares
}

// score of a square: +1 where rays only went through, -1 where they were only
// stopped, 0 where a border runs through.
func (t *raster) score(i int) float64 {
	switch stopped := t.flat[i] || t.proud[i]; {
	case t.through[i] && !stopped:
		return 1
	case stopped && !t.through[i]:
		return -1
	case !stopped && !t.through[i]:
		return t.unseen
	}
	return 0
}

// thinUnseen is the score of an unseen square of a sheet that is but the edges of
// others: a sill that gave no return must not be bridged by the rays that pass
// under it.
const thinUnseen = -0.5

// squares is a block of them: x0..x1, y0..y1, inclusive.
type squares struct{ lo, hi [2]int }

// rect is the block in mm on the sheet.
func (t *raster) rect(b squares) rect {
	var r rect
	for a := range 2 {
		r.lo[a] = t.region.lo[a] + float64(b.lo[a])*rasterPitch
		r.hi[a] = t.region.lo[a] + float64(b.hi[a]+1)*rasterPitch
	}
	return r
}

// best is the block with the greatest sum that no bar parts.
func (t *raster) best() (squares, bool) {
	b, sum := t.hole(squares{hi: [2]int{t.nx - 1, t.ny - 1}})
	if sum == 0 {
		return b, false
	}
	return t.trim(b), true
}

// hole is the best block within in. Where a bar parts it, as the sheet between
// a door and a window does, it lies on one side of that.
func (t *raster) hole(in squares) (squares, float64) {
	b, sum := t.greatest(in)
	for a := range 2 {
		place, ok := t.bar(b, a)
		if !ok {
			continue
		}
		before, behind := in, in
		before.hi[a], behind.lo[a] = place-1, place+1
		first, most := t.hole(before)
		if second, more := t.hole(behind); more > most {
			return second, more
		}
		return first, most
	}
	return b, sum
}

// A line of squares across a block is a bar where the sheet was seen along half
// of it at least, and rays went through a tenth at most: what a few strays, or
// what stands behind a bar seen askew, may put there.
const (
	barSeen    = 0.5
	barThrough = 0.1
)

// bar is a line of squares along which the sheet parts the block, at a place on
// axis a.
func (t *raster) bar(b squares, a int) (place int, ok bool) {
	length := float64(b.hi[1-a] - b.lo[1-a] + 1)
	for place := b.lo[a] + 1; place < b.hi[a]; place++ {
		stopped, through := 0., 0.
		for k := b.lo[1-a]; k <= b.hi[1-a]; k++ {
			at := [2]int{place, k}
			if a == 1 {
				at = [2]int{k, place}
			}
			switch t.score(at[1]*t.nx + at[0]) {
			case -1:
				stopped++
			case 1:
				through++
			}
		}
		if stopped >= barSeen*length && through <= barThrough*length {
			return place, true
		}
	}
	return 0, false
}

// greatest is the block within in with the greatest sum, by Kadane's scan over
// every pair of rows (Bentley, Comm. ACM 27 (1984) 865).
func (t *raster) greatest(in squares) (at squares, top float64) {
	at = in
	column := make([]float64, t.nx)
	for y0 := in.lo[1]; y0 <= in.hi[1]; y0++ {
		clear(column)
		for y1 := y0; y1 <= in.hi[1]; y1++ {
			sum, start := 0.0, in.lo[0]
			for x := in.lo[0]; x <= in.hi[0]; x++ {
				column[x] += t.score(y1*t.nx + x)
				if sum <= 0 {
					sum, start = 0, x
				}
				sum += column[x]
				if sum > top {
					top, at = sum, squares{lo: [2]int{start, y0}, hi: [2]int{x, y1}}
				}
			}
		}
	}
	return at, top
}

// trim takes off the outer lines of a block through which no ray went.
func (t *raster) trim(b squares) squares {
	for a := range 2 {
		for b.lo[a] < b.hi[a] && !t.any(t.through, a, b.lo[a], b.lo[1-a], b.hi[1-a]) {
			b.lo[a]++
		}
		for b.hi[a] > b.lo[a] && !t.any(t.through, a, b.hi[a], b.lo[1-a], b.hi[1-a]) {
			b.hi[a]--
		}
	}
	return b
}

// any tells whether one of the squares at place along axis a, from..to on the
// other, is set.
func (t *raster) any(set []bool, a, place, from, to int) bool {
	for k := max(from, 0); k <= min(to, [2]int{t.nx, t.ny}[1-a]-1); k++ {
		at := [2]int{place, k}
		if a == 1 {
			at = [2]int{k, place}
		}
		if set[at[1]*t.nx+at[0]] {
			return true
		}
	}
	return false
}

// widen lets a block grow into lines of squares through which nothing was seen,
// as long as the sheet itself was seen at both ends of the line: the scanner
// looked there, and of the sheet nothing came back. What lies behind is too far
// off, or there is nothing.
func (t *raster) widen(b squares) squares {
	for a := range 2 {
		for b.lo[a] > 0 && t.gapIn(b, a, b.lo[a]-1) {
			b.lo[a]--
		}
		for b.hi[a] < [2]int{t.nx, t.ny}[a]-1 && t.gapIn(b, a, b.hi[a]+1) {
			b.hi[a]++
		}
	}
	return b
}

// rimSquares is within how many squares of its end a line must meet the sheet.
const rimSquares = 3

// gapIn tells whether the line of squares at place along axis a, as long as the
// block is on the other, is free of the sheet and meets it at both ends.
func (t *raster) gapIn(b squares, a, place int) bool {
	stopped := func(from, to int) bool {
		return t.any(t.flat, a, place, from, to) || t.any(t.proud, a, place, from, to)
	}
	lo, hi := b.lo[1-a], b.hi[1-a]
	return !stopped(lo, hi) && stopped(lo-rimSquares, lo-1) && stopped(hi+1, hi+rimSquares)
}

// solid is the part of the region that the face itself takes up: without the
// columns and rows in which next to nothing of it was seen, for a stray piece of
// something else may lie in its plane.
func (t *raster) solid() rect {
	columns, rows := make([]int, t.nx), make([]int, t.ny)
	for y := range t.ny {
		for x := range t.nx {
			if t.flat[y*t.nx+x] {
				columns[x]++
				rows[y]++
			}
		}
	}
	r := t.region
	for a, counts := range [2][]int{columns, rows} {
		first, last := ends(counts)
		r.lo[a], r.hi[a] = t.region.lo[a]+float64(first)*rasterPitch, t.region.lo[a]+float64(last+1)*rasterPitch
	}
	return r
}

// attached is solid grown to the left and right as far as the face was seen to run
// on from it without a gap, however little of it: the strip over an opening where
// door leaves hide what is beside and below that. A stray piece lies apart.
func (t *raster) attached(solid rect) rect {
	first := int((solid.lo[0]-t.region.lo[0])/rasterPitch + 0.5)
	last := int((solid.hi[0]-t.region.lo[0])/rasterPitch+0.5) - 1
	out := solid
	out.lo[0] -= rasterPitch * float64(t.runsOn(first, -1))
	out.hi[0] += rasterPitch * float64(t.runsOn(last, 1))
	return out
}

// runsOn is how many columns beyond a column in direction step the face goes on
// into: squares that hang together, by a side or a corner, with those of the column.
func (t *raster) runsOn(from, step int) (n int) {
	held := make([]bool, t.ny)
	for y := range held {
		held[y] = t.flat[y*t.nx+from]
	}
	for x := from + step; x >= 0 && x < t.nx; x += step {
		next := make([]bool, t.ny)
		for y := range next {
			next[y] = t.flat[y*t.nx+x] && slices.Contains(held[max(y-1, 0):min(y+2, t.ny)], true)
		}
		if !slices.Contains(next, true) {
			break
		}
		held, n = next, n+1
	}
	return n
}

// solidShare of the fullest column is what an end column of a face holds at
// least: a fifth still is a sheet seen in part, a piece of something else is
// less.
const solidShare = 0.2

// ends are the first and the last of counts that hold a fair share of the
// greatest.
func ends(counts []int) (first, last int) {
	least := solidShare * float64(slices.Max(counts))
	first, last = len(counts), -1
	for i, n := range counts {
		if float64(n) >= least {
			first, last = min(first, i), i
		}
	}
	return first, last
}

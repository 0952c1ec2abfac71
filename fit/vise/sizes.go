package vise

import (
	"math"
	"sort"
)

// sizes lists the rectangles to look for, in pixels along X and Y: the given
// size, or those of the islands of points in the plan.
func (p *plan) sizes(want Want) [][2]int {
	given := [2]int{p.pixels(want.Width), p.pixels(want.Depth)}
	if want.Width > 0 && want.Depth > 0 {
		return [][2]int{given}
	}
	var out [][2]int
	for _, island := range p.islands() {
		s := [2]int{island.x1 - island.x0, island.y1 - island.y0}
		if want.Width > 0 {
			s[0] = given[0]
		}
		if want.Depth > 0 {
			s[1] = given[1]
		}
		if p.within(s[0], want.widths()) && p.within(s[1], want.depths()) && !has(out, s) {
			out = append(out, s)
		}
	}
	return out
}

func (p *plan) pixels(mm float64) int { return int(math.Round(mm / p.pixel)) }

// within allows a pixel on both ends.
func (p *plan) within(px int, size [2]float64) bool {
	return float64(px+2)*p.pixel >= size[0] && float64(px-2)*p.pixel <= size[1]
}

func has(list [][2]int, s [2]int) bool {
	for _, t := range list {
		if t == s {
			return true
		}
	}
	return false
}

// islands are the bounds of the connected patches of points, where a gap of one
// pixel does not part them: the scan's lines may lie further apart than a pixel.
// An island that is much wider at some rows than at others is taken apart there
// too: a part clamped flush between two jaws joins them. So is one that a narrow
// gap runs across.
func (p *plan) islands() []span {
	var out []span
	seen := make([]bool, len(p.hit))
	for at, s := range p.hit {
		if s != hasTop || seen[at] {
			continue
		}
		group := p.island(at, seen)
		whole := p.trimmed(group)
		for _, s := range append(append(p.wide(group, whole), p.parted(whole)...), whole) {
			if float64(s.x1-s.x0)*p.pixel >= tradeDepth[0] && float64(s.y1-s.y0)*p.pixel >= tradeDepth[0] {
				out = append(out, s)
			}
		}
	}
	return out
}

// wide are the runs of rows that are filled at least three quarters as well as
// the fullest, as wide as the whole.
func (p *plan) wide(group []int, whole span) []span {
	rows := make([]int, p.ny+1)
	most := 0
	for _, at := range group {
		rows[at/p.nx]++
		most = max(most, rows[at/p.nx])
	}
	var out []span
	from := -1
	for y, n := range rows {
		full := 4*n >= 3*most && n > 0
		switch {
		case full && from < 0:
			from = y
		case !full && from >= 0:
			out = append(out, span{whole.x0, from, whole.x1, y})
			from = -1
		}
	}
	return out
}

// parted are the two parts of the span on either side of the emptiest row in the
// middle of it, where that holds less than half of what its rows hold.
func (p *plan) parted(whole span) []span {
	row := func(y int) float64 { return p.share(p.on, span{whole.x0, y, whole.x1, y + 1}) }
	least := p.pixels(tradeDepth[0])
	at := whole.y0 + least
	for y := at; y < whole.y1-least; y++ {
		if row(y) < row(at) {
			at = y
		}
	}
	if at+least >= whole.y1 || 2*row(at) > p.share(p.on, whole) {
		return nil
	}
	return []span{{whole.x0, whole.y0, whole.x1, at}, {whole.x0, at + 1, whole.x1, whole.y1}}
}

// island floods from the pixel at and returns the pixels.
func (p *plan) island(at int, seen []bool) []int {
	seen[at] = true
	group := []int{at}
	for k := 0; k < len(group); k++ {
		x, y := group[k]%p.nx, group[k]/p.nx
		for v := max(y-2, 0); v <= min(y+2, p.ny-1); v++ {
			for u := max(x-2, 0); u <= min(x+2, p.nx-1); u++ {
				if next := v*p.nx + u; p.hit[next] == hasTop && !seen[next] {
					seen[next] = true
					group = append(group, next)
				}
			}
		}
	}
	return group
}

// trimmed is the bounds of the pixels without what sticks out of them: outer
// rows and columns that are filled less than half as well as the middling one.
func (p *plan) trimmed(group []int) span {
	rows, columns := make([]int, p.ny), make([]int, p.nx)
	for _, at := range group {
		rows[at/p.nx]++
		columns[at%p.nx]++
	}
	var s span
	s.x0, s.x1 = filled(columns)
	s.y0, s.y1 = filled(rows)
	return s
}

// filled is the range of the counts from the first to the last that is at least
// half the median of those that are not zero.
func filled(counts []int) (from, to int) {
	var some []int
	for _, c := range counts {
		if c > 0 {
			some = append(some, c)
		}
	}
	sort.Ints(some)
	least := (some[len(some)/2] + 1) / 2
	from = len(counts)
	for i, c := range counts {
		if c >= least {
			from, to = min(from, i), i+1
		}
	}
	return from, to
}

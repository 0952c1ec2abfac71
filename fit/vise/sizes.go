package vise

import "math"

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
func (p *plan) islands() []span {
	var out []span
	seen := make([]bool, len(p.hit))
	for at, s := range p.hit {
		if s != hasTop || seen[at] {
			continue
		}
		if s := p.island(at, seen); float64(s.x1-s.x0)*p.pixel >= tradeDepth[0] && float64(s.y1-s.y0)*p.pixel >= tradeDepth[0] {
			out = append(out, s)
		}
	}
	return out
}

// island floods from the pixel at and returns the bounds.
func (p *plan) island(at int, seen []bool) span {
	s := span{p.nx, p.ny, 0, 0}
	seen[at] = true
	for open := []int{at}; len(open) > 0; {
		x, y := open[len(open)-1]%p.nx, open[len(open)-1]/p.nx
		open = open[:len(open)-1]
		s = span{min(s.x0, x), min(s.y0, y), max(s.x1, x+1), max(s.y1, y+1)}
		for v := max(y-2, 0); v <= min(y+2, p.ny-1); v++ {
			for u := max(x-2, 0); u <= min(x+2, p.nx-1); u++ {
				if k := v*p.nx + u; p.hit[k] == hasTop && !seen[k] {
					seen[k] = true
					open = append(open, k)
				}
			}
		}
	}
	return s
}

package fit

import (
	"math"
	"slices"
)

// raster is a sheet in squares.
type raster struct {
	region  rect
	nx, ny  int
	through []bool // rays went through
	flat    []bool // rays ended on the sheet
	proud   []bool // or before it
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
// stopped, 0 where nothing was seen or a border runs through.
func (t *raster) score(i int) float64 {
	switch stopped := t.flat[i] || t.proud[i]; {
	case t.through[i] && !stopped:
		return 1
	case stopped && !t.through[i]:
		return -1
	}
	return 0
}

// best is the rectangle with the greatest sum, by Kadane's scan over every pair
// of rows (Bentley, Comm. ACM 27 (1984) 865).
func (t *raster) best() (rect, bool) {
	var top float64
	var at [4]int // x0, x1, y0, y1, inclusive
	column := make([]float64, t.nx)
	for y0 := range t.ny {
		clear(column)
		for y1 := y0; y1 < t.ny; y1++ {
			sum, start := 0.0, 0
			for x := range t.nx {
				column[x] += t.score(y1*t.nx + x)
				if sum <= 0 {
					sum, start = 0, x
				}
				sum += column[x]
				if sum > top {
					top, at = sum, [4]int{start, x, y0, y1}
				}
			}
		}
	}
	r := rect{
		lo: [2]float64{t.region.lo[0] + float64(at[0])*rasterPitch, t.region.lo[1] + float64(at[2])*rasterPitch},
		hi: [2]float64{t.region.lo[0] + float64(at[1]+1)*rasterPitch, t.region.lo[1] + float64(at[3]+1)*rasterPitch},
	}
	return r, top > 0
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

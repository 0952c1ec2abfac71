package fit

import "math"

// raster is a sheet in squares: +1 where rays only went through, -1 where they
// were only stopped, 0 where nothing was seen or a border runs through.
type raster struct {
	region rect
	nx, ny int
	score  []float64
}

// rasterPitch is the edge of a square, mm: the rectangle need only be found to
// within the reach of the search for its borders.
const rasterPitch = 20

// minOpening is the least width and height that an arm is put through, mm: a
// wrist is 100 to 150 mm across (common practice).
const minOpening = 200

// borderReach is how far from the raster's rectangle a border is looked for,
// mm: a square, and the reach of a voxel at the cloud's far end.
const borderReach = 3 * rasterPitch

// opening finds the largest rectangle within region through which rays went,
// then each of its borders.
func (s *sheet) opening(region rect) (r rect, borders [2][2]border, ok bool) {
	r, ok = s.raster(region).best()
	if !ok || r.size(0) < minOpening || r.size(1) < minOpening {
		return r, borders, false
	}
	for range 2 { // the second time with the rows that the first left over
		for a := range 2 {
			for side, solid := range [2]float64{-1, 1} {
				b, found := s.find(search{
					axis: a, solid: solid, guess: r.edge(a, side), reach: borderReach,
					from: r.lo[1-a] + rasterPitch, to: r.hi[1-a] - rasterPitch, proud: true,
				})
				if !found {
					return r, borders, false
				}
				borders[a][side] = b
			}
		}
		for a := range 2 {
			r.lo[a], r.hi[a] = borders[a][0].at, borders[a][1].at
		}
	}
	return r, borders, r.size(0) >= minOpening && r.size(1) >= minOpening
}

func (s *sheet) raster(region rect) *raster {
	t := &raster{
		region: region,
		nx:     int(math.Ceil(region.size(0) / rasterPitch)),
		ny:     int(math.Ceil(region.size(1) / rasterPitch)),
	}
	through, stopped := make([]bool, t.nx*t.ny), make([]bool, t.nx*t.ny)
	for _, p := range s.open {
		t.mark(through, p)
	}
	for _, p := range s.closed {
		t.mark(stopped, p)
	}
	for _, p := range s.proud {
		t.mark(stopped, p)
	}
	t.score = make([]float64, t.nx*t.ny)
	for i := range t.score {
		switch {
		case through[i] && !stopped[i]:
			t.score[i] = 1
		case stopped[i] && !through[i]:
			t.score[i] = -1
		}
	}
	return t
}

// mark sets the squares that p covers, wholly or in part.
func (t *raster) mark(squares []bool, p patch) {
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
				column[x] += t.score[y1*t.nx+x]
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

package fit

// minOpening is the least width and height that an arm is put through, mm: a
// wrist is 100 to 150 mm across (common practice).
const minOpening = 200

// borderReach is how far from the raster's rectangle a border is looked for,
// mm: a square, and the reach of a voxel at the cloud's far end.
const borderReach = 3 * rasterPitch

// opening finds the largest rectangle within region through which rays went,
// then each of its borders.
func (s *sheet) opening(region rect) (r rect, borders [2][2]border, ok bool) {
	t := s.raster(region)
	block, ok := t.best()
	r = t.rect(t.widen(block))
	if !ok || r.size(0) < minOpening || r.size(1) < minOpening {
		return r, borders, false
	}
	for range 2 { // the second time with the rows that the first left over
		for a := range 2 {
			for side, solid := range [2]float64{-1, 1} {
				b, found := s.find(search{
					axis: a, solid: solid, guess: r.edge(a, side), reach: borderReach,
					from: r.lo[1-a] + rasterPitch, to: r.hi[1-a] - rasterPitch, proud: true, lip: true, level: a == 1,
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

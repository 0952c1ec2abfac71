package fit

import "testing"

// Two pieces 300 mm apart: rays that went through all of the way part them; where
// half of it is hidden behind what stands there, they do not. How far the smaller one
// runs on behind the gap counts for nothing.
func TestRaysPartTwoTops(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		from, to int // columns through which rays went
		wide     int // the smaller piece, in columns
		want     bool
	}{
		{10, 25, 15, true}, {12, 24, 15, true}, {12, 15, 15, false}, {0, 0, 15, false},
		{10, 25, 60, true}, {12, 24, 60, true}, {12, 15, 60, false}, {0, 0, 60, false},
	} {
		r := &raster{nx: 25 + c.wide, ny: 20}
		n := r.nx * r.ny
		r.through, r.flat, r.proud = make([]bool, n), make([]bool, n), make([]bool, n)
		var a, b []int
		for y := range r.ny {
			for x := range r.nx {
				i := y*r.nx + x
				switch {
				case x < 10:
					a, r.flat[i] = append(a, i), true
				case x >= 25:
					b, r.flat[i] = append(b, i), true
				}
				r.through[i] = x >= c.from && x < c.to
			}
		}
		if got := r.parts(a, b, openWay); got != c.want {
			t.Errorf("rays through columns %d to %d, %d wide: parted %v", c.from, c.to, c.wide, got)
		}
	}
}

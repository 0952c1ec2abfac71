package fit

import "testing"

// Two pieces 300 mm apart: rays that went through all of the way part them; where
// half of it is hidden behind what stands there, they do not.
func TestRaysPartTwoTops(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		from, to int // columns through which rays went
		want     bool
	}{{10, 25, true}, {12, 24, true}, {12, 15, false}, {0, 0, false}} {
		r := &raster{nx: 40, ny: 20}
		r.through, r.flat, r.proud = make([]bool, 800), make([]bool, 800), make([]bool, 800)
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
			t.Errorf("rays through columns %d to %d: parted %v", c.from, c.to, got)
		}
	}
}

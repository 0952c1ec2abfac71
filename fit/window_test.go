package fit

import (
	"math"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// A machine with a window in its side and one in its back shows the hall behind
// through them, and is a machine all the same.
func TestMillWithWindows(t *testing.T) {
	slow(t)
	for i, at := range []geom.Pose{standing(880, -120, 0.15), standing(-150, -950, -math.Pi/2-0.1)} {
		w := hall(uint64(21 + i))
		m := plainMill
		m.windows = true
		m.stand(w, at)
		w.box(at, 2400, -3000, 0, 100, 6000, 3000) // what shows through the one in the back
		holdMill(t, millIn(t, w, at), at, m)
	}
}

// What a ray did at a sheet of 1 m by 1 m in the plane X = 1000.
func TestPaneLetsThrough(t *testing.T) {
	pl := geom.Plane{Normal: r3.Vec{X: -1}, Offset: -1000}
	w := pane{plane: pl, frame: pl.Frame(r3.Vec{X: 1000}), rect: rect{lo: [2]float64{-500, -500}, hi: [2]float64{500, 500}}}
	for _, c := range []struct {
		name string
		to   r3.Vec
		want bool
	}{
		{"through it", r3.Vec{X: 2000}, true},
		{"ends on it", r3.Vec{X: 1000.5}, false},
		{"ends before it", r3.Vec{X: 600}, false},
		{"passes beside it", r3.Vec{X: 2000, Y: 1200}, false},
		{"passes it inside, ends outside", r3.Vec{X: 2000, Z: 900}, true},
	} {
		if got := w.lets(r3.Vec{}, c.to); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
		if got := w.lets(c.to, r3.Vec{}); got != c.want && c.name != "ends on it" {
			t.Errorf("%s, from behind: %v", c.name, got)
		}
	}
}

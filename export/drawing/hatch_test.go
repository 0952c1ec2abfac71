package drawing

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Hatching covers a disc's area: lines so far apart are as long together as the
// area over that distance (Cauchy and Crofton), and run at 45 degrees.
func TestHatchingFillsAnArea(t *testing.T) {
	const radius = 40
	mid := r2.Vec{X: 200, Y: 150}
	inside := func(p r2.Vec) bool { return r2.Norm(r2.Sub(p, mid)) < radius }
	long := 0.0
	for k := math.Ceil(-120 / hatchApart); k*hatchApart < 120; k++ {
		at := r2.Add(mid, r2.Scale(k*hatchApart/math.Sqrt2, r2.Vec{X: 1, Y: -1}))
		for _, r := range runs(r2.Sub(at, r2.Vec{X: 80, Y: 80}), r2.Add(at, r2.Vec{X: 80, Y: 80}), inside) {
			d := r2.Sub(r[1], r[0])
			long += r2.Norm(d)
			if math.Abs(d.X-d.Y) > 1e-9 || !inside(r[0]) || !inside(r[1]) {
				t.Fatalf("a piece from %v to %v", r[0], r[1])
			}
		}
	}
	if want := math.Pi * radius * radius / hatchApart; math.Abs(long/want-1) > 0.03 {
		t.Errorf("%.0f mm of lines, want %.0f", long, want)
	}
}

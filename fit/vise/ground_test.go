package vise

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A part's top lies 8 mm below the jaws' in the left half of the gap. A line of the
// scan on it, nearer to the face than that is known, is none of the face, the same
// line 3 mm higher is, and so is one in the other half, where nothing lies.
func TestLineOnThePartIsNoneOfTheFace(t *testing.T) {
	t.Parallel()
	f := &fit{jaws: benchVise(tiltedAt, 150, 45, 45, 45, 63).truth, scans: []int32{0}}
	put := func(x, y, z float64) int {
		f.seen = append(f.seen, r3.Vec{X: x, Y: y, Z: z})
		f.rays = append(f.rays, r3.Unit(r3.Vec{Y: 1, Z: 1}))
		f.points = append(f.points, point{n: 1})
		return len(f.seen) - 1
	}
	for x := -74.0; x < 0; x += 2 {
		for y := 4.5; y < 60; y += 4 {
			put(x, y, -8.1+0.1*math.Sin(x*y))
		}
	}
	onPart, onFace, aside := put(-30, 1.2, -8.1), put(-30, 0.2, -5), put(30, 0.2, -8.1)
	f.assign(closeGate)
	for i, want := range map[int]face{onPart: numFaces, onFace: fixedFace, aside: fixedFace} {
		if got := f.points[i].face; got != want {
			t.Errorf("the point at %v is given to face %d, want %d", f.seen[i], got, want)
		}
	}
}

package vise

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// One point that lies by chance where a jaw's end may be holds the jaws nowhere; a
// patch of them does, and so does the top.
func TestFewPointsAreNoFace(t *testing.T) {
	t.Parallel()
	f := &fit{jaws: benchVise(tiltedAt, 150, 45, 45, 45, 63).truth, scans: []int32{0}}
	put := func(k face, q r3.Vec) {
		f.seen = append(f.seen, q)
		f.points = append(f.points, point{n: 1, weight: 1, face: k})
	}
	put(fixedRight, r3.Vec{X: 75, Y: -20, Z: -10})
	for y := 2.5; y < 45; y += 5 {
		put(fixedLeft, r3.Vec{X: -75, Y: -y, Z: -10})
		put(fixedTop, r3.Vec{Y: -y})
	}
	f.drop()
	for i, q := range f.seen {
		if gone := f.points[i].face == numFaces; gone != (q.X > 0) {
			t.Errorf("the point at %v: dropped %v", q, gone)
		}
	}
}

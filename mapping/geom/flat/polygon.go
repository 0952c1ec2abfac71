// Package flat holds plane geometry: polygons, their hulls and the smallest
// rectangle and circle about them. Points are r2.Vec, mm; a polygon is the list
// of its corners, not closed, and runs counter-clockwise where its inside
// counts as area.
package flat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Area is the signed area of a polygon: positive where it runs
// counter-clockwise.
func Area(poly []r2.Vec) float64 {
	var twice float64
	for i, p := range poly {
		twice += r2.Cross(p, poly[(i+1)%len(poly)])
	}
	return twice / 2
}

// Centroid is the centre of area of a polygon that has some.
func Centroid(poly []r2.Vec) r2.Vec {
	var c r2.Vec
	var twice float64
	at := poly[0] // as the origin, so that small polygons far out lose no digits
	for i := range poly {
		p, q := r2.Sub(poly[i], at), r2.Sub(poly[(i+1)%len(poly)], at)
		w := r2.Cross(p, q)
		twice += w
		c = r2.Add(c, r2.Scale(w/3, r2.Add(p, q)))
	}
	return r2.Add(at, r2.Scale(1/twice, c))
}

// Contains tells whether p lies inside the polygon, by the parity of crossings
// with a ray toward +X. A point on the rim counts as either.
func Contains(poly []r2.Vec, p r2.Vec) bool {
	in := false
	for i, a := range poly {
		b := poly[(i+1)%len(poly)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// ToSegment is the distance from p to the segment a-b.
func ToSegment(p, a, b r2.Vec) float64 {
	ab, ap := r2.Sub(b, a), r2.Sub(p, a)
	l2 := r2.Dot(ab, ab)
	if l2 == 0 {
		return r2.Norm(ap)
	}
	t := min(max(r2.Dot(ap, ab)/l2, 0), 1)
	return r2.Norm(r2.Sub(ap, r2.Scale(t, ab)))
}

// ToRim is the distance from p to the nearest edge of the polygon.
func ToRim(poly []r2.Vec, p r2.Vec) float64 {
	d := math.Inf(1)
	for i, a := range poly {
		d = min(d, ToSegment(p, a, poly[(i+1)%len(poly)]))
	}
	return d
}

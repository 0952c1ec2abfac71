package fit

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// rect is a rectangle on a sheet: X from lo[0] to hi[0], Y from lo[1] to hi[1].
type rect struct{ lo, hi [2]float64 }

func (r rect) size(a int) float64 { return r.hi[a] - r.lo[a] }

func (r rect) area() float64 { return r.size(0) * r.size(1) }

// edge is where the rectangle ends along axis a: side 0 the least, 1 the greatest.
func (r rect) edge(a, side int) float64 {
	if side == 0 {
		return r.lo[a]
	}
	return r.hi[a]
}

// grown is the rectangle with every side moved outward.
func (r rect) grown(by float64) rect {
	for a := range 2 {
		r.lo[a] -= by
		r.hi[a] += by
	}
	return r
}

// with is the rectangle about both.
func (r rect) with(o rect) rect {
	for a := range 2 {
		r.lo[a], r.hi[a] = min(r.lo[a], o.lo[a]), max(r.hi[a], o.hi[a])
	}
	return r
}

// contains tells whether p lies in the rectangle, by its X and Y.
func (r rect) contains(p r3.Vec) bool {
	return p.X >= r.lo[0] && p.X <= r.hi[0] && p.Y >= r.lo[1] && p.Y <= r.hi[1]
}

// gapTo is the distance between two rectangles, mm, 0 where they overlap.
func (r rect) gapTo(o rect) float64 {
	var d [2]float64
	for a := range 2 {
		d[a] = max(r.lo[a]-o.hi[a], o.lo[a]-r.hi[a], 0)
	}
	return math.Hypot(d[0], d[1])
}

// projectOn is the rectangle about points in the XY plane of frame.
func projectOn(frame geom.Pose, points []r3.Vec) rect {
	var r rect
	for a := range 2 {
		at := r3.Dot(frame.T, frame.R.Axis(a))
		r.lo[a], r.hi[a] = span(points, frame.R.Axis(a))
		r.lo[a], r.hi[a] = r.lo[a]-at, r.hi[a]-at
	}
	return r
}

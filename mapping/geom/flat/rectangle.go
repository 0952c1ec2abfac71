package flat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Rectangle is one at any angle: U is the unit direction of its first side.
type Rectangle struct {
	Centre, U r2.Vec
	Size      r2.Vec // along U, and along U turned left by a right angle
}

// Area in mm^2.
func (r Rectangle) Area() float64 { return r.Size.X * r.Size.Y }

// Corners run counter-clockwise.
func (r Rectangle) Corners() [4]r2.Vec {
	u, v := r2.Scale(r.Size.X/2, r.U), r2.Scale(r.Size.Y/2, left(r.U))
	return [4]r2.Vec{
		r2.Sub(r2.Sub(r.Centre, u), v), r2.Sub(r2.Add(r.Centre, u), v),
		r2.Add(r2.Add(r.Centre, u), v), r2.Add(r2.Sub(r.Centre, u), v),
	}
}

// left is v turned counter-clockwise by a right angle.
func left(v r2.Vec) r2.Vec { return r2.Vec{X: -v.Y, Y: v.X} }

// LeastRectangle is the rectangle of least area about pts. One of its sides
// lies on an edge of the hull (Freeman and Shapira, Comm. ACM 18 (1975) 409).
// No points give the zero Rectangle.
func LeastRectangle(pts []r2.Vec) Rectangle {
	hull := Hull(pts)
	switch len(hull) {
	case 0:
		return Rectangle{}
	case 1:
		return Rectangle{Centre: hull[0], U: r2.Vec{X: 1}}
	}
	var best Rectangle
	least := math.Inf(1)
	for i, p := range hull {
		r := BoundsAlong(hull, r2.Unit(r2.Sub(hull[(i+1)%len(hull)], p)))
		if a := r.Area(); a < least {
			best, least = r, a
		}
	}
	return best
}

// BoundsAlong is the rectangle about pts whose first side runs along the unit
// vector u.
func BoundsAlong(pts []r2.Vec, u r2.Vec) Rectangle {
	v := left(u)
	lo := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}
	hi := r2.Scale(-1, lo)
	for _, p := range pts {
		x, y := r2.Dot(p, u), r2.Dot(p, v)
		lo = r2.Vec{X: min(lo.X, x), Y: min(lo.Y, y)}
		hi = r2.Vec{X: max(hi.X, x), Y: max(hi.Y, y)}
	}
	m := r2.Scale(0.5, r2.Add(lo, hi))
	return Rectangle{
		Centre: r2.Add(r2.Scale(m.X, u), r2.Scale(m.Y, v)),
		U:      u, Size: r2.Sub(hi, lo),
	}
}

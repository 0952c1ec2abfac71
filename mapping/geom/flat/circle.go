package flat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Circle by its centre and radius, mm.
type Circle struct {
	Centre r2.Vec
	Radius float64
}

// Contains tells whether p lies in the circle, up to the rounding of the points
// that made it.
func (c Circle) Contains(p r2.Vec) bool {
	return r2.Norm(r2.Sub(p, c.Centre)) <= c.Radius*(1+1e-12)
}

// EnclosingCircle is the smallest circle about pts, built up point by point over
// their hull (Welzl 1991, in the iterative form of de Berg et al.,
// Computational Geometry, 4.7). No points give the zero Circle.
func EnclosingCircle(pts []r2.Vec) Circle {
	hull := Hull(pts)
	if len(hull) == 0 {
		return Circle{}
	}
	c := Circle{Centre: hull[0]}
	for i, p := range hull {
		if !c.Contains(p) {
			c = throughOne(hull[:i], p)
		}
	}
	return c
}

// throughOne is the smallest circle about pts that passes through p.
func throughOne(pts []r2.Vec, p r2.Vec) Circle {
	c := Circle{Centre: p}
	for i, q := range pts {
		if !c.Contains(q) {
			c = throughTwo(pts[:i], p, q)
		}
	}
	return c
}

// throughTwo is the smallest circle about pts that passes through p and q.
func throughTwo(pts []r2.Vec, p, q r2.Vec) Circle {
	c := Circle{Centre: r2.Scale(0.5, r2.Add(p, q)), Radius: r2.Norm(r2.Sub(p, q)) / 2}
	for _, s := range pts {
		if !c.Contains(s) {
			c = throughThree(p, q, s)
		}
	}
	return c
}

// throughThree is the circle about the triangle a, b, c; infinite where they lie
// on one line.
func throughThree(a, b, c r2.Vec) Circle {
	p, q := r2.Sub(b, a), r2.Sub(c, a)
	d := 2 * r2.Cross(p, q)
	if d == 0 {
		return Circle{Centre: a, Radius: math.Inf(1)}
	}
	pp, qq := r2.Dot(p, p), r2.Dot(q, q)
	u := r2.Vec{X: (q.Y*pp - p.Y*qq) / d, Y: (p.X*qq - q.X*pp) / d}
	return Circle{Centre: r2.Add(a, u), Radius: r2.Norm(u)}
}

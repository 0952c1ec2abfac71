// Package distance tells how far apart convex bodies are, and where: capsules,
// boxes, cylinders, prisms and hulls, among many of them too.
package distance

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Gap says how two bodies stand to each other, mm. B is A moved by Distance
// along Normal.
type Gap struct {
	// Distance between the bodies. Where they overlap it is negative, and its
	// size is the shortest way that parts them.
	Distance float64
	// A and B are the points where the bodies are nearest; where they overlap,
	// those that part last.
	A, B r3.Vec
	// Normal is the unit vector from the first body toward the second.
	Normal r3.Vec
	// Steps is how many iterations it took; 0 for closed forms.
	Steps int
}

// flipped is the same gap with the bodies' roles changed.
func (g Gap) flipped() Gap {
	g.A, g.B, g.Normal = g.B, g.A, r3.Scale(-1, g.Normal)
	return g
}

// Body is a convex body: all points within a radius of its core.
type Body interface {
	// Bounds is an axis-aligned box round the body.
	Bounds() geom.Bounds
	// round is the radius about the core, mm.
	round() float64
	// support is a point of the core furthest along n.
	support(n r3.Vec) r3.Vec
	// inner is a polytope within the core, and the core itself where that is one.
	inner() *polytope
}

// MostSteps bounds the iterations that any pair may take. Where it ends the
// search, the Distance is what the bodies' slab along Normal proves: they are
// never nearer than that.
const MostSteps = 50

// Exact is how well Distance is known, mm, for bodies within a few tens of
// metres of the base: coordinates of 1e4 mm carry a rounding of 1e-12 each, and
// a sum over a simplex or an edge pair some hundreds of it.
const Exact = 1e-8

// touching is how near cores may be for the direction between them to be lost
// in rounding, mm; nearer ones are treated as overlapping.
const touching = 1e-7

// Between is the gap from a to b. Coordinates that are not finite give a
// Distance that is not a number.
func Between(a, b Body) Gap {
	switch first := a.(type) {
	case Capsule:
		switch b := b.(type) {
		case Capsule:
			return capsules(first, b)
		case *Box:
			return capsuleBox(first, b)
		case *Cylinder:
			return capsuleCylinder(first, b)
		}
	case *Box, *Cylinder:
		if c, ok := b.(Capsule); ok {
			return Between(c, a).flipped()
		}
	}
	if g, apart := nearest(a, b); apart {
		return g
	}
	return overlap(a, b)
}

// gapOf makes a gap of the cores' nearest points, which are apart along n by d.
func gapOf(a, b Body, onA, onB, n r3.Vec, d float64) Gap {
	return Gap{
		Distance: d - a.round() - b.round(),
		A:        r3.Add(onA, r3.Scale(a.round(), n)),
		B:        r3.Sub(onB, r3.Scale(b.round(), n)),
		Normal:   n,
	}
}

// anyAcross is a unit vector across v, whatever v is.
func anyAcross(v r3.Vec) r3.Vec {
	x, y, z := v.X*v.X, v.Y*v.Y, v.Z*v.Z
	axis := r3.Vec{Z: 1}
	switch {
	case x <= y && x <= z:
		axis = r3.Vec{X: 1}
	case y <= z:
		axis = r3.Vec{Y: 1}
	}
	c := r3.Cross(v, axis)
	if n := r3.Norm(c); n > 0 {
		return r3.Scale(1/n, c)
	}
	return r3.Vec{Z: 1}
}

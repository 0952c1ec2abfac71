// Package solid holds the convex pieces that a collision scene is made of:
// boxes, cylinders, prisms and hulls, and the convex hull that the last ones
// rest on.
package solid

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Solid is a convex body in the base frame, mm. Growing it by a margin moves
// every face outward by that much, so the grown solid holds every point within
// the margin of the solid. Where two faces meet in an edge sharper than 90
// degrees, a bevel keeps the grown edge near.
type Solid interface {
	// Contains tells whether p lies in the solid grown by margin, or within
	// Resolution of it.
	Contains(p r3.Vec, margin float64) bool
	// Holds tells whether every point of b does.
	Holds(b geom.Bounds, margin float64) bool
	// Mesh is the closed, outward-facing surface of the solid grown by margin.
	Mesh(margin float64) Mesh
	// Volume without margin, mm^3.
	Volume() float64
	// Bounds is an axis-aligned box round the solid grown by margin.
	Bounds(margin float64) geom.Bounds
}

// Resolution is how finely solids are built, mm. Binary STL keeps single
// precision, which resolves a micrometre out to 16 m from the base; no scanner
// on an arm comes near it.
const Resolution = 1e-3

// furthest is the corner of b with the greatest projection on n.
func furthest(b geom.Bounds, n r3.Vec) r3.Vec {
	p := b.Min
	if n.X > 0 {
		p.X = b.Max.X
	}
	if n.Y > 0 {
		p.Y = b.Max.Y
	}
	if n.Z > 0 {
		p.Z = b.Max.Z
	}
	return p
}

// corners of an axis-aligned box; bit 0, 1, 2 of the index says which end of X,
// Y, Z.
func corners(b geom.Bounds) [8]r3.Vec {
	var c [8]r3.Vec
	for i := range c {
		c[i] = b.Min
		if i&1 != 0 {
			c[i].X = b.Max.X
		}
		if i&2 != 0 {
			c[i].Y = b.Max.Y
		}
		if i&4 != 0 {
			c[i].Z = b.Max.Z
		}
	}
	return c
}

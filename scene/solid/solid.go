// Package solid holds the convex pieces that a collision scene is made of.
package solid

import "gonum.org/v1/gonum/spatial/r3"

// Solid is a convex body in the base frame, mm. Growing by a margin moves every
// face outward by it.
type Solid interface {
	// Contains tells whether p lies in the solid grown by margin.
	Contains(p r3.Vec, margin float64) bool
	// Mesh is the closed, outward-facing surface of the solid grown by margin.
	Mesh(margin float64) Mesh
	// Volume without margin, mm^3.
	Volume() float64
}

// Mesh is a closed triangle mesh; each face's corners run counter-clockwise
// seen from outside.
type Mesh struct {
	Vertices []r3.Vec
	Faces    [][3]int32
}

package solid

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Box is a rectangular block at any angle.
type Box struct{ geom.Box }

// Contains implements Solid.
func (b Box) Contains(p r3.Vec, margin float64) bool {
	return b.Grown(margin + Resolution).Contains(p)
}

// Holds implements Solid: the half extents of a, seen along the box's axes, are
// the absolute values of the rotation times a's own.
func (b Box) Holds(a geom.Bounds, margin float64) bool {
	half := r3.Scale(0.5, r3.Sub(a.Max, a.Min))
	d := r3.Sub(r3.Scale(0.5, r3.Add(a.Min, a.Max)), b.Pose.T)
	for i, size := range [3]float64{b.Size.X, b.Size.Y, b.Size.Z} {
		axis := b.Pose.R.Axis(i)
		reach := math.Abs(axis.X)*half.X + math.Abs(axis.Y)*half.Y + math.Abs(axis.Z)*half.Z
		if math.Abs(r3.Dot(axis, d))+reach > size/2+margin+Resolution {
			return false
		}
	}
	return true
}

// Mesh implements Solid.
func (b Box) Mesh(margin float64) Mesh {
	c := b.Grown(margin).Corners()
	return prismMesh([]r3.Vec{c[0], c[1], c[3], c[2]}, []r3.Vec{c[4], c[5], c[7], c[6]})
}

// Bounds implements Solid.
func (b Box) Bounds(margin float64) geom.Bounds {
	out := geom.NoBounds()
	for _, c := range b.Grown(margin).Corners() {
		out.Extend(c)
	}
	return out
}

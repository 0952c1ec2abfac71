package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Box is a box at any angle: Pose is parentFromBox with the origin at the
// centre, Size its full edge lengths, mm.
type Box struct {
	Pose Pose
	Size r3.Vec
}

// Grown is the box with every face moved outward by m mm.
func (b Box) Grown(m float64) Box {
	b.Size = r3.Add(b.Size, r3.Vec{X: 2 * m, Y: 2 * m, Z: 2 * m})
	return b
}

// Contains tells whether p lies in the box or on it.
func (b Box) Contains(p r3.Vec) bool {
	q := b.Pose.R.T().Apply(r3.Sub(p, b.Pose.T))
	return math.Abs(q.X) <= b.Size.X/2 && math.Abs(q.Y) <= b.Size.Y/2 && math.Abs(q.Z) <= b.Size.Z/2
}

// Distance is how far p is from the box, mm, 0 within it.
func (b Box) Distance(p r3.Vec) float64 {
	q := b.Pose.R.T().Apply(r3.Sub(p, b.Pose.T))
	return r3.Norm(r3.Vec{
		X: max(math.Abs(q.X)-b.Size.X/2, 0),
		Y: max(math.Abs(q.Y)-b.Size.Y/2, 0),
		Z: max(math.Abs(q.Z)-b.Size.Z/2, 0),
	})
}

// Corners returns the eight corners; bit 0, 1, 2 of the index says which end of
// X, Y, Z.
func (b Box) Corners() [8]r3.Vec {
	var c [8]r3.Vec
	for i := range c {
		h := r3.Scale(-0.5, b.Size)
		if i&1 != 0 {
			h.X = -h.X
		}
		if i&2 != 0 {
			h.Y = -h.Y
		}
		if i&4 != 0 {
			h.Z = -h.Z
		}
		c[i] = b.Pose.Apply(h)
	}
	return c
}

// Volume in mm^3.
func (b Box) Volume() float64 { return b.Size.X * b.Size.Y * b.Size.Z }

// Bounds is an axis-aligned box, by its least and greatest corner, mm. Start
// from NoBounds and Extend it.
type Bounds struct{ Min, Max r3.Vec }

// NoBounds holds nothing.
func NoBounds() Bounds {
	inf := math.Inf(1)
	return Bounds{Min: r3.Vec{X: inf, Y: inf, Z: inf}, Max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
}

// Extend takes p in.
func (b *Bounds) Extend(p r3.Vec) {
	b.Min = r3.Vec{X: min(b.Min.X, p.X), Y: min(b.Min.Y, p.Y), Z: min(b.Min.Z, p.Z)}
	b.Max = r3.Vec{X: max(b.Max.X, p.X), Y: max(b.Max.Y, p.Y), Z: max(b.Max.Z, p.Z)}
}

// Empty tells whether nothing was taken in.
func (b Bounds) Empty() bool { return b.Min.X > b.Max.X }

package space

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Capsule is all that lies within Radius of the segment From-To, base frame, mm:
// a link of the arm, or a ball where both ends are one.
type Capsule struct {
	From, To r3.Vec
	Radius   float64
}

// Contains tells whether p lies in the capsule grown by margin.
func (c Capsule) Contains(p r3.Vec, margin float64) bool {
	d, e := r3.Sub(c.To, c.From), r3.Sub(p, c.From)
	t := 0.0
	if l := r3.Norm2(d); l > 0 {
		t = min(max(r3.Dot(e, d)/l, 0), 1)
	}
	r := c.Radius + margin
	return r >= 0 && r3.Norm2(r3.Sub(e, r3.Scale(t, d))) <= r*r
}

// Bounds is the box round the capsule grown by margin.
func (c Capsule) Bounds(margin float64) geom.Bounds {
	b := geom.NoBounds()
	b.Extend(c.From)
	b.Extend(c.To)
	r := c.Radius + margin
	by := r3.Vec{X: r, Y: r, Z: r}
	return geom.Bounds{Min: r3.Sub(b.Min, by), Max: r3.Add(b.Max, by)}
}

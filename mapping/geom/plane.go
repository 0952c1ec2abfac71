package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Plane is the set of points p with Normal . p = Offset; Normal is unit and, on
// a surface, points to the side from which it was seen. Offset in mm.
type Plane struct {
	Normal r3.Vec
	Offset float64
}

// Distance is positive on the side to which the normal points, mm.
func (pl Plane) Distance(p r3.Vec) float64 { return r3.Dot(pl.Normal, p) - pl.Offset }

// Foot is the point of the plane nearest to p.
func (pl Plane) Foot(p r3.Vec) r3.Vec {
	return r3.Sub(p, r3.Scale(pl.Distance(p), pl.Normal))
}

// Facing returns the plane with its normal toward the point eye.
func (pl Plane) Facing(eye r3.Vec) Plane {
	if pl.Distance(eye) < 0 {
		return Plane{Normal: r3.Scale(-1, pl.Normal), Offset: -pl.Offset}
	}
	return pl
}

// Frame returns baseFromPlane: origin at the foot of near, Z along the normal,
// X the horizontal direction in the plane (base X where the plane is level).
func (pl Plane) Frame(near r3.Vec) Pose {
	x := r3.Cross(r3.Vec{Z: 1}, pl.Normal)
	if r3.Norm(x) < 0.1 { // within 6 degrees of level: horizontal is ill defined
		x = r3.Sub(r3.Vec{X: 1}, r3.Scale(pl.Normal.X, pl.Normal))
	}
	x = r3.Unit(x)
	return Pose{R: RotFromAxes(x, r3.Cross(pl.Normal, x), pl.Normal), T: pl.Foot(near)}
}

// Meet is the point common to three planes; ok is false where two of them are
// so nearly parallel that the point is not determined.
func Meet(a, b, c Plane) (p r3.Vec, ok bool) {
	bc := r3.Cross(b.Normal, c.Normal)
	det := r3.Dot(a.Normal, bc)
	if math.Abs(det) < 1e-6 {
		return r3.Vec{}, false
	}
	p = r3.Scale(a.Offset, bc)
	p = r3.Add(p, r3.Scale(b.Offset, r3.Cross(c.Normal, a.Normal)))
	p = r3.Add(p, r3.Scale(c.Offset, r3.Cross(a.Normal, b.Normal)))
	return r3.Scale(1/det, p), true
}

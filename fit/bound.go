package fit

import (
	"math"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// bound is a plane that a datum or a measure rests on: a fitted face, or an
// edge, with how well it is known where it was seen.
type bound struct {
	geom.Plane
	Centre r3.Vec
	Cov    surface.Cov3
	shares surface.Budget // of Cov, as far as it comes of a fit to points
}

// boundOf is the bound that a fitted surface gives.
func boundOf(s *surface.Surface) bound {
	return bound{Plane: s.Plane, Centre: s.Centre, Cov: s.Cov, shares: s.Budget}
}

// edgeBound is the plane through an edge that was located to sigma mm across
// itself. Its direction is taken from the faces it belongs to, so it adds no
// turn of its own.
func edgeBound(normal, at r3.Vec, sigma float64) bound {
	b := bound{Plane: geom.Plane{Normal: normal, Offset: r3.Dot(normal, at)}, Centre: at}
	b.Cov[0][0] = sigma * sigma
	return b
}

// moved is the plane after the perturbation d that Cov speaks of: an offset
// along the normal at Centre, then turns about the frame's first two axes.
func (b bound) moved(d [3]float64) geom.Plane {
	f := b.Frame(b.Centre)
	turn := r3.Add(r3.Scale(d[1], f.R.Axis(0)), r3.Scale(d[2], f.R.Axis(1)))
	n := geom.Exp(turn).Apply(b.Normal)
	return geom.Plane{Normal: n, Offset: r3.Dot(n, b.Foot(b.Centre)) + d[0]}
}

// at gives the perturbation of the same plane, spoken of at another place and
// seen in the axes of frame, from one spoken of at Centre.
func (b bound) at(frame geom.Pose) [3][3]float64 {
	var j [3][3]float64
	for k, h := range steps {
		var d [3]float64
		d[k] = h
		up := perturbation(b.moved(d), frame)
		d[k] = -h
		down := perturbation(b.moved(d), frame)
		for i := range 3 {
			j[i][k] = (up[i] - down[i]) / (2 * h)
		}
	}
	return j
}

// perturbation is how the plane differs from the XY plane of frame: its height
// at the origin, then the turns about X and Y (small angles).
func perturbation(pl geom.Plane, frame geom.Pose) [3]float64 {
	n := frame.R.T().Apply(pl.Normal)
	if n.Z < 0 {
		n, pl.Offset = r3.Scale(-1, n), -pl.Offset
		pl.Normal = r3.Scale(-1, pl.Normal)
	}
	return [3]float64{-pl.Distance(frame.T) / n.Z, -n.Y / n.Z, n.X / n.Z}
}

// steps are the half-widths of the central differences: 1 um and 1 urad, which
// is 1 um at a lever of 1 m. Rounding then costs about 1e-9 of a derivative.
var steps = [3]float64{1e-3, 1e-6, 1e-6}

// tilt is the angle between a unit vector and another, without regard to sense.
func tilt(a, b r3.Vec) float64 {
	return math.Atan2(r3.Norm(r3.Cross(a, b)), math.Abs(r3.Dot(a, b)))
}

package fit

import (
	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// barSurface is an upright bar, seen from the base at mid-height.
func barSurface(foot r3.Vec, radius, length float64) surface.Surface {
	n := r3.Unit(r3.Scale(-1, foot))
	c := r3.Add(foot, r3.Add(r3.Scale(radius, n), r3.Vec{Z: length}))
	return surface.Surface{
		Plane: geom.Plane{Normal: n, Offset: r3.Dot(n, c)}, Centre: c,
		Cylinder: &surface.Cylinder{Point: foot, Axis: r3.Vec{Z: 1}, Radius: radius, Length: length},
	}
}

// tile is a rectangle of size u by v mm with its middle at c, seen from where n
// points; u runs along the horizontal.
func tile(c, n r3.Vec, u, v float64) surface.Surface {
	pl := geom.Plane{Normal: n, Offset: r3.Dot(n, c)}
	f := pl.Frame(c)
	s := surface.Surface{Plane: pl, Centre: c, Area: u * v}
	for _, k := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		s.Outline = append(s.Outline, f.Apply(r3.Vec{X: k[0] * u / 2, Y: k[1] * v / 2}))
	}
	s.Cov[0][0], s.Cov[1][1], s.Cov[2][2] = 0.01, 1e-8, 1e-8
	s.Budget.Noise = s.Cov
	return s
}

// handMade is a survey of surfaces made by hand, without a cloud; the base's Z
// is up.
func handMade(surfaces ...surface.Surface) *survey {
	return newSurvey(&mapping.Cloud{}, surfaces)
}

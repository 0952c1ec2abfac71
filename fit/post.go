package fit

import (
	"math"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// minPost is the least length of a post, mm: shorter round things are parts of
// something else.
const minPost = 300

// findPosts takes the upright cylinders that are seen from outside.
func (s *survey) findPosts() []Object {
	var posts []Object
	for _, i := range s.free(s.postLike) {
		posts = append(posts, s.post(s.take("side", i)))
	}
	return posts
}

func (s *survey) postLike(f *surface.Surface) bool {
	if f.Cylinder == nil || f.Cylinder.Length < minPost || tilt(f.Cylinder.Axis, s.up) > square {
		return false
	}
	return r3.Dot(r3.Sub(f.Centre, f.Cylinder.Point), f.Plane.Normal) > 0 // seen from outside, not a duct
}

// post has its datum where its axis meets the floor (the base's XY plane where
// no floor was seen): Z up along the axis, X toward the base's +X.
func (s *survey) post(side Face) Object {
	c := side.Cylinder
	z := c.Axis
	if r3.Dot(z, s.up) < 0 {
		z = r3.Scale(-1, z)
	}
	ground := geom.Plane{Normal: s.up}
	if s.floor != nil {
		ground = s.floor.Plane
	}
	foot := r3.Sub(c.Point, r3.Scale(ground.Distance(c.Point)/r3.Dot(ground.Normal, z), z))
	x := r3.Unit(r3.Sub(r3.Vec{X: 1}, r3.Scale(z.X, z)))
	return Object{
		Kind:     Post,
		Pose:     geom.Pose{R: geom.RotFromAxes(x, r3.Cross(z, x), z), T: foot},
		Cov:      s.postCov(side, z, foot),
		Measures: map[string]Measure{"diameter_mm": {2 * c.Radius, 2 * c.SigmaRadius}},
		Faces:    []Face{side},
	}
}

// postCov takes what is known of the tangent plane toward the viewer for both
// directions across the axis, and adds the radius, for the axis lies one radius
// behind the surface. The turn about the axis is set by the base, so it is
// exact; the height is the floor's.
func (s *survey) postCov(side Face, z, foot r3.Vec) geom.Cov6 {
	c, r := side.Cov, side.Cylinder.SigmaRadius
	across := c[0][0] + r*r
	lean := max(c[1][1], c[2][2])
	n := r3.Unit(r3.Sub(side.Plane.Normal, r3.Scale(r3.Dot(side.Plane.Normal, z), z)))
	var local geom.Cov6
	local[0][0], local[1][1] = across, across
	local[3][3], local[4][4] = lean, lean
	axes := geom.RotFromAxes(n, r3.Cross(z, n), z)
	mid := r3.Scale(r3.Dot(r3.Sub(side.Centre, foot), z), z)
	cov := local.Turned(axes).At(r3.Scale(-1, mid))
	if s.floor != nil {
		sigma := math.Sqrt(s.floor.Cov[0][0])
		up := geom.Cov6{}
		up[2][2] = sigma * sigma
		cov = cov.Plus(up.Turned(axes))
	}
	return cov
}

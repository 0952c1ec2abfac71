package fit

import (
	"fmt"
	"math"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// anyTurn is the standard deviation of an angle of which nothing is known, rad:
// uniform over the circle (JCGM 100:2008, 4.3.7).
var anyTurn = math.Pi / math.Sqrt(3)

// minPost is the least length of a post, mm: shorter round things are parts of
// something else.
const minPost = 300

// findPosts takes the upright cylinders that are seen from outside.
func (s *survey) findPosts() []Object {
	var posts []Object
	for _, i := range sortedBy(s.free(s.postLike), func(i int) float64 { return -float64(s.surfaces[i].Points) }) {
		if p := s.sameAxis(posts, i); p != nil {
			name := fmt.Sprintf("side-%d", len(p.Faces)+1)
			p.Cov = p.Cov.Plus(p.apart(&s.surfaces[i]))
			p.Faces = append(p.Faces, s.take(name, i))
			continue
		}
		posts = append(posts, s.post(s.take("side", i)))
	}
	return posts
}

// sameAxis is the post of which surface i is a further piece, another side of it or
// as other scans saw it: no two posts stand in each other.
func (s *survey) sameAxis(posts []Object, i int) *Object {
	c := s.surfaces[i].Cylinder
	for k := range posts {
		p := posts[k].Faces[0].Cylinder
		if tilt(c.Axis, p.Axis) < square && r3.Norm(posts[k].aside(&s.surfaces[i])) < min(p.Radius, c.Radius)/2 {
			return &posts[k]
		}
	}
	return nil
}

// aside is how far beside the post's axis that of a cylinder runs where it was seen.
func (o *Object) aside(f *surface.Surface) r3.Vec {
	c, z := f.Cylinder, o.Pose.R.Axis(2)
	at := r3.Add(c.Point, r3.Scale(r3.Dot(r3.Sub(f.Centre, c.Point), c.Axis), c.Axis))
	d := r3.Sub(at, o.Pose.T)
	return r3.Sub(d, r3.Scale(r3.Dot(d, z), z))
}

// apart is what the post's place may be off where a further piece of it lies aside:
// either may be the one that is right.
func (o *Object) apart(f *surface.Surface) (c geom.Cov6) {
	d := o.aside(f)
	for i, a := range [3]float64{d.X, d.Y, d.Z} {
		for k, b := range [3]float64{d.X, d.Y, d.Z} {
			c[i][k] = a * b
		}
	}
	return c
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
	o := Object{
		Kind:     Post,
		Pose:     geom.Pose{R: geom.RotFromAxes(x, r3.Cross(z, x), z), T: foot},
		Measures: map[string]Measure{"diameter_mm": {2 * c.Radius, 2 * c.SigmaRadius}},
		Faces:    []Face{side},
	}
	b := c.Budget
	o.Budget = Budget{Noise: axisCov(c, foot, b.Noise), Sweep: axisCov(c, foot, b.Sweep), Arm: axisCov(c, foot, b.Arm), Mount: axisCov(c, foot, b.Mount)}
	o.Cov = axisCov(c, foot, c.Cov).Plus(s.alongAxis(foot).Turned(o.Pose.R))
	return o
}

// axisCov is what is known of a cylinder's axis where it passes through foot, as a
// pose's covariance: of its place across and of its direction.
func axisCov(c *surface.Cylinder, foot r3.Vec, of surface.Cov5) geom.Cov6 {
	axes := geom.Plane{Normal: c.Axis}.Frame(c.Point).R
	h := r3.Dot(r3.Sub(foot, c.Point), c.Axis)
	var j, local [6][6]float64
	for k := range 2 {
		e := axes.Axis(k)
		w := r3.Cross(c.Axis, e)
		for i, x := range [3][3]float64{{e.X, h * e.X, w.X}, {e.Y, h * e.Y, w.Y}, {e.Z, h * e.Z, w.Z}} {
			j[i][k], j[i][k+2], j[i+3][k+2] = x[0], x[1], x[2]
		}
	}
	for i := range 4 {
		copy(local[i][:4], of[i][:4])
	}
	return geom.Cov6(local).Through(j)
}

// alongAxis is what a round thing itself does not show, in its datum's axes: how it
// is turned about its axis, which may be anything, and its height, which is the
// floor's.
func (s *survey) alongAxis(foot r3.Vec) geom.Cov6 {
	c := geom.Cov6{5: {5: anyTurn * anyTurn}}
	if f := s.floor; f != nil {
		at := f.Plane.Frame(f.Centre)
		r := r3.Sub(foot, f.Centre)
		row := [3]float64{1, r3.Dot(r, at.R.Axis(1)), -r3.Dot(r, at.R.Axis(0))}
		for i := range row {
			for k := range row {
				c[2][2] += row[i] * f.Cov[i][k] * row[k]
			}
		}
	}
	return c
}

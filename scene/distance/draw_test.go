package distance

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// drawn is a random body and all that the references need to know of it.
type drawn struct {
	Body
	kind string
	mesh *solid.Mesh     // box, prism, hull; nil else
	bar  *solid.Cylinder // cylinder
	ball *Capsule        // sphere and capsule
}

var kinds = []string{"sphere", "capsule", "box", "cylinder", "prism", "hull"}

// draw makes a body of the kind, 5 mm to 800 mm in size, whose middle is about
// at.
func draw(t testing.TB, r *rand.Rand, kind string, at r3.Vec) drawn {
	size := func() float64 { return 5 * math.Pow(160, r.Float64()) }
	pose := geom.Pose{R: geom.Exp(vec(r, 2)), T: at}
	if r.IntN(4) == 0 { // upright, as most things in a shop are
		pose.R = geom.Exp(r3.Vec{Z: 6 * r.Float64()})
	}
	switch kind {
	case "sphere", "capsule":
		half := r3.Scale(size()/2, pose.R.Axis(0))
		if kind == "sphere" {
			half = r3.Vec{}
		}
		c := Capsule{From: r3.Sub(at, half), To: r3.Add(at, half), Radius: size() / 2}
		return drawn{Body: c, kind: kind, ball: &c}
	case "cylinder":
		c := solid.Cylinder{Centre: at, Axis: pose.R.Axis(2), Radius: size() / 2, Height: size()}
		return drawn{Body: Of(c), kind: kind, bar: &c}
	}
	s := drawFlat(t, r, kind, pose, size)
	for s == nil { // the points span no volume
		s = drawFlat(t, r, kind, pose, size)
	}
	m := s.Mesh(0)
	return drawn{Body: Of(s), kind: kind, mesh: &m}
}

func drawFlat(t testing.TB, r *rand.Rand, kind string, pose geom.Pose, size func() float64) solid.Solid {
	var s solid.Solid
	var err error
	switch kind {
	case "box":
		s = solid.Box{Box: geom.Box{Pose: pose, Size: r3.Vec{X: size(), Y: size(), Z: size()}}}
	case "prism":
		var ring []r3.Vec
		a, b, n := size()/2, size()/2, 3+r.IntN(6)
		for i := range n {
			s, c := math.Sincos((float64(i) + 0.8*r.Float64()) / float64(n) * 2 * math.Pi)
			ring = append(ring, pose.Apply(r3.Vec{X: a * c, Y: b * s}))
		}
		s, err = solid.NewPrism(ring, pose.R.Axis(2), size())
	case "hull":
		var points []r3.Vec
		scale := r3.Vec{X: size() / 3, Y: size() / 3, Z: size() / 3}
		for range 4 + r.IntN(12) {
			p := vec(r, 1)
			points = append(points, pose.Apply(r3.Vec{X: p.X * scale.X, Y: p.Y * scale.Y, Z: p.Z * scale.Z}))
		}
		hull, flat := solid.NewHull(points)
		if errors.Is(flat, solid.ErrFlat) {
			return nil
		}
		s, err = hull, flat
	}
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func vec(r *rand.Rand, scale float64) r3.Vec {
	return r3.Scale(scale, r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
}

// drawPair draws two bodies about a place within a cell; about a third overlap.
func drawPair(t testing.TB, r *rand.Rand, one, other string) (a, b drawn) {
	at := vec(r, 1500)
	return draw(t, r, one, at), draw(t, r, other, r3.Add(at, r3.Scale(r.Float64(), vec(r, 350))))
}

// reach of the whole body along the unit vector n, by the body's definition.
func (d *drawn) reach(n r3.Vec) float64 {
	switch {
	case d.ball != nil:
		return max(r3.Dot(n, d.ball.From), r3.Dot(n, d.ball.To)) + d.ball.Radius
	case d.bar != nil:
		c := r3.Dot(n, d.bar.Axis)
		return r3.Dot(n, d.bar.Centre) + math.Abs(c)*d.bar.Height/2 + d.bar.Radius*r3.Norm(r3.Cross(n, d.bar.Axis))
	}
	best := math.Inf(-1)
	for _, v := range d.mesh.Vertices {
		best = max(best, r3.Dot(n, v))
	}
	return best
}

// outside is a lower bound of how far p lies outside of the body: exact but for
// points off an edge or a corner of a mesh.
func (d *drawn) outside(p r3.Vec) float64 {
	switch {
	case d.ball != nil:
		return pointSegment(p, d.ball.From, d.ball.To) - d.ball.Radius
	case d.bar != nil:
		return pointBar(p, d.bar)
	}
	out := math.Inf(-1)
	for _, f := range d.mesh.Faces {
		a, b, c := d.mesh.Vertices[f[0]], d.mesh.Vertices[f[1]], d.mesh.Vertices[f[2]]
		n := r3.Unit(r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
		out = max(out, r3.Dot(n, r3.Sub(p, a)))
	}
	return out
}

// pointBar is the distance from p to a cylinder, 0 inside.
func pointBar(p r3.Vec, c *solid.Cylinder) float64 {
	d := r3.Sub(p, c.Centre)
	along := r3.Dot(d, c.Axis)
	across := r3.Norm(r3.Sub(d, r3.Scale(along, c.Axis)))
	return math.Hypot(max(0, math.Abs(along)-c.Height/2), max(0, across-c.Radius))
}

func pointSegment(p, a, b r3.Vec) float64 {
	u := r3.Sub(b, a)
	t := 0.0
	if l := r3.Norm2(u); l > 0 {
		t = min(max(r3.Dot(r3.Sub(p, a), u)/l, 0), 1)
	}
	return r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(t, u))))
}

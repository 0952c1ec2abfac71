package distance

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Capsule is all that lies within Radius of the segment From-To, mm; a sphere
// where its ends are one.
type Capsule struct {
	From, To r3.Vec
	Radius   float64
}

// Sphere about centre, mm.
func Sphere(centre r3.Vec, radius float64) Capsule {
	return Capsule{From: centre, To: centre, Radius: radius}
}

// Bounds implements Body.
func (c Capsule) Bounds() geom.Bounds {
	b := geom.NoBounds()
	b.Extend(c.From)
	b.Extend(c.To)
	r := r3.Vec{X: c.Radius, Y: c.Radius, Z: c.Radius}
	return geom.Bounds{Min: r3.Sub(b.Min, r), Max: r3.Add(b.Max, r)}
}

func (c Capsule) round() float64 { return c.Radius }

func (c Capsule) support(n r3.Vec) r3.Vec {
	if r3.Dot(n, r3.Sub(c.To, c.From)) > 0 {
		return c.To
	}
	return c.From
}

func (c Capsule) inner() *polytope {
	if c.From == c.To {
		return &polytope{corners: []r3.Vec{c.From}}
	}
	return &polytope{
		corners: []r3.Vec{c.From, c.To},
		edges:   []edge{{from: c.From, along: r3.Unit(r3.Sub(c.To, c.From)), free: true}},
	}
}

// capsules is the closed form of two: their segments' nearest points.
func capsules(a, b Capsule) Gap {
	onA, onB := segments(a.From, a.To, b.From, b.To)
	v := r3.Sub(onB, onA)
	d := r3.Norm(v)
	if d > 0 || math.IsNaN(d) {
		return gapOf(a, b, onA, onB, r3.Scale(1/d, v), d)
	}
	u, w := r3.Sub(a.To, a.From), r3.Sub(b.To, b.From)
	n := r3.Cross(u, w)
	if l := r3.Norm(n); l > 1e-12*r3.Norm(u)*r3.Norm(w) {
		return gapOf(a, b, onA, onB, r3.Scale(1/l, n), 0)
	}
	if r3.Norm2(u) < r3.Norm2(w) { // across the longer one, which is no point
		u = w
	}
	return gapOf(a, b, onA, onB, anyAcross(u), 0)
}

// segments are the nearest points of the segments p0-p1 and q0-q1: either an
// end of one and its foot on the other, or within both, where the lines'
// nearest points lie. All five are tried, so that nearly parallel segments are
// as exact as others.
func segments(p0, p1, q0, q1 r3.Vec) (onP, onQ r3.Vec) {
	least := math.Inf(1)
	try := func(p, q r3.Vec) {
		if d := r3.Norm2(r3.Sub(p, q)); d < least {
			least, onP, onQ = d, p, q
		}
	}
	try(p0, footOn(q0, q1, p0))
	try(p1, footOn(q0, q1, p1))
	try(footOn(p0, p1, q0), q0)
	try(footOn(p0, p1, q1), q1)
	u, v, w := r3.Sub(p1, p0), r3.Sub(q1, q0), r3.Sub(q0, p0)
	n := r3.Cross(u, v)
	if l := r3.Norm2(n); l > 0 {
		s, t := r3.Dot(r3.Cross(w, v), n)/l, r3.Dot(r3.Cross(w, u), n)/l
		if s >= 0 && s <= 1 && t >= 0 && t <= 1 {
			try(r3.Add(p0, r3.Scale(s, u)), r3.Add(q0, r3.Scale(t, v)))
		}
	}
	if math.IsInf(least, 1) { // not a number
		return p0, q0
	}
	return onP, onQ
}

// footOn is the point of the segment a-b nearest to p.
func footOn(a, b, p r3.Vec) r3.Vec {
	u := r3.Sub(b, a)
	t := r3.Dot(r3.Sub(p, a), u) / r3.Norm2(u)
	switch {
	case t >= 1:
		return b
	case t > 0:
		return r3.Add(a, r3.Scale(t, u))
	}
	return a // of a point, too, where t is not a number
}

// Package outline holds plane figures, mm: rings, their convex hulls, regions
// with holes, and how a region is cut into few convex pieces.
package outline

import (
	"math"
	"slices"

	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
)

// Ring is a closed polygon without its first corner repeated. Counter-clockwise
// rings have positive area.
type Ring []r2.Vec

// Area is the signed area, mm^2.
func (r Ring) Area() float64 { return flat.Area(r) }

// Line keeps what lies on the inner side of a straight cut: Normal . p <=
// Offset. Normal is unit.
type Line struct {
	Normal r2.Vec
	Offset float64
}

// Distance is positive outside, mm.
func (l Line) Distance(p r2.Vec) float64 { return r2.Dot(l.Normal, p) - l.Offset }

// Other keeps the other side.
func (l Line) Other() Line { return Line{Normal: r2.Scale(-1, l.Normal), Offset: -l.Offset} }

// onCut is how near to a cut a corner counts as on it, mm: far above rounding,
// far below anything measured.
const onCut = 1e-6

// Clip returns the part of r on the inner side of l (Sutherland and Hodgman,
// Comm. ACM 17 (1974) 32). Where a concave ring falls into several parts they
// stay joined by edges on the cut, which add nothing to the area nor to the
// hull: a corner on the cut stays only where the ring comes in or goes out.
func (r Ring) Clip(l Line) Ring {
	d := make([]float64, len(r))
	for i, p := range r {
		if d[i] = l.Distance(p); math.Abs(d[i]) < onCut {
			d[i] = 0
		}
	}
	var out Ring
	for i, p := range r {
		before, after := d[(i+len(r)-1)%len(r)], d[(i+1)%len(r)]
		if d[i] < 0 || d[i] == 0 && min(before, after) < 0 {
			out = append(out, p)
		}
		if d[i]*after < 0 {
			q := r[(i+1)%len(r)]
			out = append(out, r2.Add(p, r2.Scale(d[i]/(d[i]-after), r2.Sub(q, p))))
		}
	}
	return out
}

// Hull is the convex hull of points, counter-clockwise, without the corners
// that stand out from the line through their neighbours by no more than slack.
// It is nil where nothing is left of it.
func Hull(points []r2.Vec, slack float64) Ring {
	h := Ring(flat.Hull(points))
	for dropped := true; dropped && len(h) > 2; {
		dropped = false
		for i := 0; i < len(h) && len(h) > 2; i++ {
			a, c := h[(i+len(h)-1)%len(h)], h[(i+1)%len(h)]
			if flat.ToSegment(h[i], a, c) <= slack {
				h, dropped = slices.Delete(h, i, i+1), true
			}
		}
	}
	if len(h) < 3 {
		return nil
	}
	return h
}

// Grown moves every edge of a convex counter-clockwise ring outward by m. A
// corner that turns by more than 90 degrees is bevelled at the distance m from
// the old corner, so the new corners stay within 1.42 m of it.
func (r Ring) Grown(m float64) Ring {
	out := make(Ring, 0, len(r)+2)
	for i, p := range r {
		before := normal(r[(i+len(r)-1)%len(r)], p)
		after := normal(p, r[(i+1)%len(r)])
		if r2.Dot(before, after) >= -1e-9 {
			out = append(out, mitre(p, before, after, m))
			continue
		}
		mid := bisector(before, after)
		out = append(out, mitre(p, before, mid, m), mitre(p, mid, after, m))
	}
	return out
}

// Sides are the outward normals of a convex counter-clockwise ring's edges and
// bevels, with the offsets of the lines through them.
func (r Ring) Sides() []Line {
	var out []Line
	for i, p := range r {
		before := normal(r[(i+len(r)-1)%len(r)], p)
		after := normal(p, r[(i+1)%len(r)])
		if r2.Dot(before, after) < -1e-9 {
			n := bisector(before, after)
			out = append(out, Line{n, r2.Dot(n, p)})
		}
		out = append(out, Line{after, r2.Dot(after, p)})
	}
	return out
}

// normal points out of the edge a-b of a counter-clockwise ring.
func normal(a, b r2.Vec) r2.Vec {
	d := r2.Unit(r2.Sub(b, a))
	return r2.Vec{X: d.Y, Y: -d.X}
}

// bisector of the outward normals at a corner: of two that are almost opposite,
// as at a needle's tip, the sum is ill defined, so it is taken from their
// difference, which runs along the needle's width.
func bisector(before, after r2.Vec) r2.Vec {
	d := r2.Unit(r2.Sub(after, before))
	return r2.Vec{X: d.Y, Y: -d.X}
}

// mitre is where the lines with unit normals a and b, each at m from p, meet.
func mitre(p, a, b r2.Vec, m float64) r2.Vec {
	return r2.Add(p, r2.Scale(m/(1+r2.Dot(a, b)), r2.Add(a, b)))
}

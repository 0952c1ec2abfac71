package distance

import (
	"math"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// Cylinder is a round bar with flat ends.
type Cylinder struct {
	bar    solid.Cylinder
	x, y   r3.Vec // across the axis
	bounds geom.Bounds
	shape  *polytope
}

// rimCorners is how many corners the polygon that stands for a rim has at
// first; more are put in where they matter.
const rimCorners = 16

// NewCylinder makes a body of c.
func NewCylinder(c solid.Cylinder) *Cylinder {
	x := anyAcross(c.Axis)
	out := &Cylinder{bar: c, x: x, y: r3.Cross(c.Axis, x), bounds: c.Bounds(0)}
	out.shape = out.within(evenly(rimCorners))
	return out
}

// Bounds implements Body.
func (c *Cylinder) Bounds() geom.Bounds { return c.bounds }

func (c *Cylinder) round() float64 { return 0 }

func (c *Cylinder) support(n r3.Vec) r3.Vec {
	along := r3.Dot(n, c.bar.Axis)
	p := r3.Add(c.bar.Centre, r3.Scale(math.Copysign(c.bar.Height/2, along), c.bar.Axis))
	return r3.Add(p, c.outward(n))
}

// outward leads from the axis to where the bar reaches furthest along n.
func (c *Cylinder) outward(n r3.Vec) r3.Vec {
	x, y := r3.Dot(n, c.x), r3.Dot(n, c.y)
	l := math.Hypot(x, y)
	if l == 0 {
		return r3.Vec{}
	}
	return r3.Scale(c.bar.Radius/l, r3.Add(r3.Scale(x, c.x), r3.Scale(y, c.y)))
}

func (c *Cylinder) inner() *polytope { return c.shape }

func evenly(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = -math.Pi + 2*math.Pi*(float64(i)+0.5)/float64(n)
	}
	return out
}

// within is the prism whose corners lie on the rims at the given angles, which
// ascend.
func (c *Cylinder) within(angles []float64) *polytope {
	n := len(angles)
	p := &polytope{corners: make([]r3.Vec, 0, 2*n), edges: make([]edge, 0, 3*n)}
	half := r3.Scale(c.bar.Height/2, c.bar.Axis)
	for _, a := range angles {
		s, co := math.Sincos(a)
		at := r3.Add(c.bar.Centre, r3.Scale(c.bar.Radius, r3.Add(r3.Scale(co, c.x), r3.Scale(s, c.y))))
		p.corners = append(p.corners, r3.Sub(at, half), r3.Add(at, half))
	}
	up, down := c.bar.Axis, r3.Scale(-1, c.bar.Axis)
	p.facets = append(p.facets, p.facetOn(up, 1), p.facetOn(down, 0))
	side := make([]r3.Vec, n)
	for i, a := range angles {
		next := angles[(i+1)%n]
		if i == n-1 {
			next += 2 * math.Pi
		}
		s, co := math.Sincos((a + next) / 2)
		side[i] = r3.Add(r3.Scale(co, c.x), r3.Scale(s, c.y))
		p.facets = append(p.facets, p.facetOn(side[i], 2*i))
		along := r3.Cross(up, side[i])
		p.edges = append(p.edges,
			edge{from: p.corners[2*i], along: along, left: down, right: side[i]},
			edge{from: p.corners[2*i+1], along: along, left: up, right: side[i]})
	}
	for i := range angles {
		p.edges = append(p.edges, edge{from: p.corners[2*i], along: up, left: side[(i+n-1)%n], right: side[i]})
	}
	return p
}

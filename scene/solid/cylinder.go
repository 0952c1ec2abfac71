package solid

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Cylinder is a round bar with flat ends. Centre is in mid-height, Axis is
// unit.
type Cylinder struct {
	Centre, Axis   r3.Vec
	Radius, Height float64
}

// Contains implements Solid.
func (c Cylinder) Contains(p r3.Vec, margin float64) bool {
	margin += Resolution
	d := r3.Sub(p, c.Centre)
	along := r3.Dot(d, c.Axis)
	across := r3.Norm(r3.Sub(d, r3.Scale(along, c.Axis)))
	return math.Abs(along) <= c.Height/2+margin && across <= c.Radius+margin
}

// Holds implements Solid: the cylinder is convex, so the corners decide.
func (c Cylinder) Holds(b geom.Bounds, margin float64) bool {
	for _, p := range corners(b) {
		if !c.Contains(p, margin) {
			return false
		}
	}
	return true
}

// Volume implements Solid.
func (c Cylinder) Volume() float64 { return math.Pi * c.Radius * c.Radius * c.Height }

// Bounds implements Solid.
func (c Cylinder) Bounds(margin float64) geom.Bounds {
	reach := func(axis float64) float64 {
		return math.Abs(axis)*(c.Height/2+margin) + math.Sqrt(max(0, 1-axis*axis))*(c.Radius+margin)
	}
	r := r3.Vec{X: reach(c.Axis.X), Y: reach(c.Axis.Y), Z: reach(c.Axis.Z)}
	return geom.Bounds{Min: r3.Sub(c.Centre, r), Max: r3.Add(c.Centre, r)}
}

// Excess is how far a cylinder's mesh may stand out beyond the round surface
// that it encloses, mm: well under any margin, and a post of 200 mm has some
// thirty sides.
const Excess = 0.5

// Mesh implements Solid with a polygon round the circle, so that the mesh
// holds all of the cylinder: with n sides its corners stand at r / cos(pi/n).
func (c Cylinder) Mesh(margin float64) Mesh {
	r, h := c.Radius+margin, c.Height/2+margin
	n := max(8, int(math.Ceil(math.Pi/math.Acos(r/(r+Excess)))))
	frame := geom.Plane{Normal: c.Axis}.Frame(r3.Vec{})
	ring := func(at float64) []r3.Vec {
		out := make([]r3.Vec, n)
		for i := range out {
			s, co := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			k := r / math.Cos(math.Pi/float64(n))
			out[i] = r3.Add(c.Centre, frame.R.Apply(r3.Vec{X: k * co, Y: k * s, Z: at}))
		}
		return out
	}
	return prismMesh(ring(-h), ring(h))
}

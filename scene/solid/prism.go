package solid

import (
	"errors"
	"fmt"
	"math"

	"cellwall/mapping/geom"
	"cellwall/scene/outline"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Prism is a convex plane outline, drawn out along its normal.
type Prism struct {
	frame  geom.Pose // base from outline: Z is the direction, origin in the outline's plane
	ring   outline.Ring
	height float64
	planes halfspaces
}

// unevenness is how far an outline may leave its plane or bulge inward, mm: ten
// times what a file of 1e-3 mm does to it.
const unevenness = 10 * Resolution

// NewPrism draws the outline (mm, base) out by height along direction, which
// must stand upright on it. Corners that do not matter are left out. It fails
// where the outline is not plane, not convex or has no area, each to within a
// hundredth of a millimetre.
func NewPrism(ring []r3.Vec, direction r3.Vec, height float64) (*Prism, error) {
	if len(ring) < 3 {
		return nil, fmt.Errorf("a prism's outline has %d corners, and needs 3", len(ring))
	}
	if !(height > 0) || math.IsInf(height, 0) {
		return nil, fmt.Errorf("a prism's height is %g mm, and must be more than 0", height)
	}
	if n := r3.Norm(direction); !(math.Abs(n-1) < 1e-6) {
		return nil, fmt.Errorf("a prism's direction has length %g, not 1", n)
	}
	p := &Prism{frame: geom.Plane{Normal: r3.Unit(direction)}.Frame(r3.Vec{}), height: height}
	var sum r3.Vec
	for _, v := range ring {
		sum = r3.Add(sum, v)
	}
	p.frame.T = r3.Scale(1/float64(len(ring)), sum)
	flat, err := p.flatten(ring)
	if err != nil {
		return nil, err
	}
	p.ring = outline.Hull(flat, Resolution)
	if p.ring == nil {
		return nil, errors.New("a prism's outline has no area")
	}
	if d := deepest(flat, p.ring); !(d <= unevenness) {
		return nil, fmt.Errorf("a prism's outline is not convex: a corner lies %.3g mm inside the others' hull", d)
	}
	p.planes = p.bounding()
	return p, nil
}

// flatten expresses the ring in the outline's plane.
func (p *Prism) flatten(ring []r3.Vec) ([]r2.Vec, error) {
	toPlane := p.frame.Inverse()
	flat := make([]r2.Vec, len(ring))
	for i, v := range ring {
		q := toPlane.Apply(v)
		if !(math.Abs(q.Z) <= unevenness) {
			return nil, fmt.Errorf("a prism's outline is not plane or not upright to its direction: corner %d is %.3g mm off", i+1, q.Z)
		}
		flat[i] = r2.Vec{X: q.X, Y: q.Y}
	}
	return flat, nil
}

// deepest is how far inside the convex ring the deepest of points lies.
func deepest(points []r2.Vec, ring outline.Ring) float64 {
	var d float64
	sides := ring.Sides()
	for _, p := range points {
		in := math.Inf(1)
		for _, l := range sides {
			in = min(in, -l.Distance(p))
		}
		d = max(d, in)
	}
	return d
}

// bounding planes: the sides, their bevels and the two ends.
func (p *Prism) bounding() halfspaces {
	up := p.frame.R.Axis(2)
	at := r3.Dot(up, p.frame.T)
	out := halfspaces{{Normal: up, Offset: at + p.height}, {Normal: r3.Scale(-1, up), Offset: -at}}
	for _, l := range p.ring.Sides() {
		n := p.frame.R.Apply(r3.Vec{X: l.Normal.X, Y: l.Normal.Y})
		out = append(out, geom.Plane{Normal: n, Offset: l.Offset + r3.Dot(n, p.frame.T)})
	}
	return out
}

// Outline is the prism's foot, counter-clockwise seen from where Direction
// points to, mm.
func (p *Prism) Outline() []r3.Vec { return p.lift(p.ring, 0) }

// Direction is the unit vector from the outline to the other end.
func (p *Prism) Direction() r3.Vec { return p.frame.R.Axis(2) }

// Height along Direction, mm.
func (p *Prism) Height() float64 { return p.height }

func (p *Prism) lift(ring outline.Ring, z float64) []r3.Vec {
	out := make([]r3.Vec, len(ring))
	for i, q := range ring {
		out[i] = p.frame.Apply(r3.Vec{X: q.X, Y: q.Y, Z: z})
	}
	return out
}

// Contains implements Solid.
func (p *Prism) Contains(q r3.Vec, margin float64) bool { return p.planes.contains(q, margin) }

// Holds implements Solid.
func (p *Prism) Holds(b geom.Bounds, margin float64) bool { return p.planes.holds(b, margin) }

// Volume implements Solid.
func (p *Prism) Volume() float64 { return p.ring.Area() * p.height }

// Grown is the prism with every face moved outward by margin mm, its sharp edges
// bevelled.
func (p *Prism) Grown(margin float64) *Prism {
	if margin <= 0 {
		return p
	}
	g := &Prism{frame: p.frame, ring: p.ring.Grown(margin), height: p.height + 2*margin}
	g.frame.T = r3.Sub(p.frame.T, r3.Scale(margin, p.Direction()))
	g.planes = g.bounding()
	return g
}

// Mesh implements Solid.
func (p *Prism) Mesh(margin float64) Mesh {
	g := p.Grown(margin)
	return prismMesh(g.lift(g.ring, 0), g.lift(g.ring, g.height))
}

// Bounds implements Solid.
func (p *Prism) Bounds(margin float64) geom.Bounds { return p.Mesh(margin).Bounds() }

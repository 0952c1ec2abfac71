package solid

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// ErrFlat is returned for points that span no volume: all within two
// micrometres of a plane, or too few.
var ErrFlat = errors.New("the points span no volume")

// Hull is the convex hull of a point set.
type Hull struct {
	mesh   Mesh
	planes halfspaces // facets and bevels
}

// NewHull builds the convex hull of points (mm). Every point lies inside it to
// within Resolution by Contains; the corners of its mesh lie on a lattice of
// 2^-10 mm, which single precision keeps exactly out to 16 m. Corners that stand
// out by less than two such steps are left out, so no facet is thinner. It
// fails with ErrFlat, or where a coordinate is not finite, or spans over 500 m.
func NewHull(points []r3.Vec) (*Hull, error) {
	mesh, passed, err := latticeHull(points)
	if err != nil {
		return nil, err
	}
	h := &Hull{mesh: mesh}
	h.bound(passed)
	return h, nil
}

// step of the lattice, mm.
const step = 1.0 / 1024

// latticeHull is the hull's mesh, thinned, and the corners that were left out.
func latticeHull(points []r3.Vec) (mesh Mesh, passed []r3.Vec, err error) {
	nodes, origin, err := onLattice(points)
	if err != nil {
		return Mesh{}, nil, err
	}
	t := thinHull(nodes)
	if t.faces == nil {
		return Mesh{}, nil, ErrFlat
	}
	lift := func(nodes []node) []r3.Vec {
		out := make([]r3.Vec, len(nodes))
		for i, n := range nodes {
			out[i] = r3.Scale(step, r3.Add(n.vec(), origin))
		}
		return out
	}
	return Mesh{Vertices: lift(t.corners), Faces: t.faces}, lift(t.passed), nil
}

// onLattice rounds points to distinct nodes about an origin given in steps,
// sorted.
func onLattice(points []r3.Vec) ([]node, r3.Vec, error) {
	b := geom.NoBounds()
	for _, p := range points {
		if s := p.X + p.Y + p.Z; math.IsNaN(s) || math.IsInf(s, 0) {
			return nil, r3.Vec{}, fmt.Errorf("a hull's point is not finite: (%g, %g, %g)", p.X, p.Y, p.Z)
		}
		b.Extend(p)
	}
	if d := r3.Sub(b.Max, b.Min); max(d.X, d.Y, d.Z) >= latticeLimit*step {
		return nil, r3.Vec{}, fmt.Errorf("a hull spans %.0f mm, more than %.0f", max(d.X, d.Y, d.Z), latticeLimit*step)
	}
	origin := rounded(r3.Scale(0.5/step, r3.Add(b.Min, b.Max)))
	nodes := make([]node, len(points))
	for i, p := range points {
		q := r3.Sub(rounded(r3.Scale(1/step, p)), origin)
		nodes[i] = node{int64(q.X), int64(q.Y), int64(q.Z)}
	}
	slices.SortFunc(nodes, node.compare)
	return slices.Compact(nodes), origin, nil
}

func rounded(p r3.Vec) r3.Vec {
	return r3.Vec{X: math.Round(p.X), Y: math.Round(p.Y), Z: math.Round(p.Z)}
}

// bound finds the planes that hold the mesh and the corners passed over: one
// for every flat group of faces, then the bevels and the axes.
func (h *Hull) bound(passed []r3.Vec) {
	b := h.mesh.Bounds()
	size := r3.Norm(r3.Sub(b.Max, b.Min))
	h.planes = h.mesh.flats(Resolution / size)
	for _, n := range append(h.mesh.bevels(), axes[:]...) {
		h.planes = append(h.planes, geom.Plane{Normal: n, Offset: support(h.mesh.Vertices, n)})
	}
	for i := range h.planes {
		pl := &h.planes[i]
		pl.Offset = max(pl.Offset, support(passed, pl.Normal))
	}
}

// axes bound every hull, too, so that its bounds grow by the margin and no more.
var axes = [6]r3.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}}

// support is how far points reach along n.
func support(points []r3.Vec, n r3.Vec) float64 {
	d := math.Inf(-1)
	for _, p := range points {
		d = max(d, r3.Dot(n, p))
	}
	return d
}

// Vertices of the hull, mm.
func (h *Hull) Vertices() []r3.Vec { return slices.Clone(h.mesh.Vertices) }

// Contains implements Solid.
func (h *Hull) Contains(p r3.Vec, margin float64) bool { return h.planes.contains(p, margin) }

// Holds implements Solid.
func (h *Hull) Holds(b geom.Bounds, margin float64) bool { return h.planes.holds(b, margin) }

// Volume implements Solid.
func (h *Hull) Volume() float64 { return h.mesh.Volume() }

// Bounds implements Solid.
func (h *Hull) Bounds(margin float64) geom.Bounds {
	b := h.mesh.Bounds()
	m := r3.Vec{X: margin, Y: margin, Z: margin}
	return geom.Bounds{Min: r3.Sub(b.Min, m), Max: r3.Add(b.Max, m)}
}

// Mesh implements Solid.
func (h *Hull) Mesh(margin float64) Mesh {
	if margin <= 0 {
		return h.mesh
	}
	m, _, err := latticeHull(h.planes.corners(h.mesh.Centroid(), margin))
	if err != nil {
		panic(err) // a body that holds a ball of the margin's radius is neither flat nor endless
	}
	return m
}

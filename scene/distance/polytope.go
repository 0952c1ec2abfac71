package distance

import (
	"math"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// polytope is the hull of its corners, with what bounds it. A segment has one
// edge and no facet, a point neither.
type polytope struct {
	corners []r3.Vec
	facets  []geom.Plane
	edges   []edge
}

// edge between two facets: a point on it, its direction, the facets' normals. A
// free edge is a segment of its own: every direction across it is a normal.
type edge struct {
	from, along r3.Vec
	left, right r3.Vec
	free        bool
}

// flat is how little two facets may be turned against each other to be one, as
// the sine of half the angle between them: rounding of the corners of a hull, on
// a lattice of 1e-3 mm, turns its facets by more.
const flat = 1e-9

// polytopeOf takes over a closed convex mesh.
func polytopeOf(m solid.Mesh) *polytope {
	p := &polytope{corners: m.Vertices}
	normal := make([]r3.Vec, len(m.Faces))
	beyond := make(map[[2]int32]int, 3*len(m.Faces))
	for i, f := range m.Faces {
		a, b, c := m.Vertices[f[0]], m.Vertices[f[1]], m.Vertices[f[2]]
		normal[i] = r3.Unit(r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
		for k := range 3 {
			beyond[[2]int32{f[k], f[(k+1)%3]}] = i
		}
	}
	for i, f := range m.Faces {
		if !p.hasFacet(normal[i], int(f[0])) {
			p.facets = append(p.facets, p.facetOn(normal[i], int(f[0])))
		}
		for k := range 3 {
			v, w := f[k], f[(k+1)%3]
			other := normal[beyond[[2]int32{w, v}]]
			if v < w && r3.Norm(r3.Sub(normal[i], other)) > 2*flat {
				along := r3.Unit(r3.Sub(m.Vertices[w], m.Vertices[v]))
				p.edges = append(p.edges, edge{from: m.Vertices[v], along: along, left: normal[i], right: other})
			}
		}
	}
	return p
}

// facetOn is the facet with normal n through corner k.
func (p *polytope) facetOn(n r3.Vec, k int) geom.Plane {
	return geom.Plane{Normal: n, Offset: r3.Dot(n, p.corners[k])}
}

// hasFacet looks at the facets taken last only: the two triangles of a side
// follow each other, and a facet that is kept twice does no harm.
func (p *polytope) hasFacet(n r3.Vec, k int) bool {
	for _, f := range p.facets[max(0, len(p.facets)-2):] {
		if r3.Norm(r3.Sub(f.Normal, n)) <= 2*flat {
			return true
		}
	}
	return false
}

// reach is how far the polytope reaches along n, and the corner that does.
func (p *polytope) reach(n r3.Vec) (float64, r3.Vec) {
	best, at := math.Inf(-1), p.corners[0]
	for _, c := range p.corners {
		if d := n.X*c.X + n.Y*c.Y + n.Z*c.Z; d > best {
			best, at = d, c
		}
	}
	return best, at
}

// boxShape is the polytope of a box.
func boxShape(b geom.Box) *polytope { return polytopeOf(solid.Box{Box: b}.Mesh(0)) }

// Polytope is a body with flat sides: a prism or a hull.
type Polytope struct {
	shape  *polytope
	bounds geom.Bounds
}

// NewPolytope makes a body of a closed convex mesh, mm.
func NewPolytope(m solid.Mesh) *Polytope { return &Polytope{shape: polytopeOf(m), bounds: m.Bounds()} }

// Bounds implements Body.
func (p *Polytope) Bounds() geom.Bounds { return p.bounds }

func (p *Polytope) round() float64 { return 0 }

func (p *Polytope) support(n r3.Vec) r3.Vec {
	_, at := p.shape.reach(n)
	return at
}

func (p *Polytope) inner() *polytope { return p.shape }

// Of makes a body of a solid without its margin.
func Of(s solid.Solid) Body {
	switch s := s.(type) {
	case solid.Box:
		return NewBox(s.Box)
	case solid.Cylinder:
		return NewCylinder(s)
	}
	return NewPolytope(s.Mesh(0))
}

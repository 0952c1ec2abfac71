package lines

import (
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r3"
)

// sight answers what the viewer sees. Its frame is the view's: X to the right,
// Y up, Z toward the viewer, who is infinitely far away.
type sight struct {
	scene ln.Scene
	lift  float64 // mm toward the viewer from which a point is judged
}

// newSight takes in all bodies, each solid by the faces that look toward the
// viewer: a ray that meets a solid leaves it through one of them.
func newSight(bodies [][]piece, viewFromBase geom.Rot, lift float64) *sight {
	s := &sight{lift: lift}
	for _, b := range bodies {
		for _, p := range b {
			if t := towardViewer(p.mesh, viewFromBase); len(t) > 0 {
				s.scene.Add(ln.NewMesh(t))
			}
		}
	}
	s.scene.Compile()
	return s
}

func towardViewer(m solid.Mesh, viewFromBase geom.Rot) []*ln.Triangle {
	v := make([]ln.Vector, len(m.Vertices))
	for i, q := range m.Vertices {
		v[i] = vector(viewFromBase.Apply(q))
	}
	var out []*ln.Triangle
	for _, f := range m.Faces {
		a, b, c := v[f[0]], v[f[1]], v[f[2]]
		if b.Sub(a).Cross(c.Sub(a)).Z > 0 {
			out = append(out, ln.NewTriangle(a, b, c))
		}
	}
	return out
}

// visible tells whether nothing stands before p. A point on an edge is judged
// from a little nearer to the viewer: things that touch were fitted apart from
// each other and sink into each other by their uncertainty, and their edges
// there must not vanish.
func (s *sight) visible(p ln.Vector) bool {
	p.Z += s.lift
	return !s.scene.Intersect(ln.Ray{Origin: p, Direction: ln.Vector{Z: 1}}).Ok()
}

func vector(v r3.Vec) ln.Vector { return ln.Vector(v) }

package lines

import (
	"math"

	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// edge is a line of a solid's surface that is worth drawing.
type edge struct {
	a, b   r3.Vec
	u, v   r3.Vec // outward normals of the faces that meet here
	smooth bool   // drawn as the outline of a rounded surface only
}

// sharp is the turn between two faces, rad, from which their edge is drawn.
// The facets that stand for a cylinder turn less from one to the next, if there
// are more than twelve round it; what people call an edge turns more.
const sharp = math.Pi / 6

// flat is the turn below which two faces are one: a diagonal within a face, up
// to rounding.
const flat = 1e-6

// edges lists the sharp edges of a closed mesh and those where, seen from the
// direction toward, a rounded surface turns away.
func edges(m solid.Mesh, toward r3.Vec) []edge {
	normals := make([]r3.Vec, len(m.Faces))
	owner := make(map[[2]int32]int, 3*len(m.Faces))
	for i, f := range m.Faces {
		normals[i] = normal(m, f)
		for k := range f {
			owner[[2]int32{f[k], f[(k+1)%3]}] = i
		}
	}
	var out []edge
	for i, f := range m.Faces {
		for k := range f {
			a, b := f[k], f[(k+1)%3]
			j, ok := owner[[2]int32{b, a}]
			if !ok || a > b { // each edge once, from the side where it ascends
				continue
			}
			e := edge{a: m.Vertices[a], b: m.Vertices[b], u: normals[i], v: normals[j]}
			turn := angle(e.u, e.v)
			e.smooth = turn < sharp
			if !e.smooth || turn > flat && outline(e.u, e.v, toward) {
				out = append(out, e)
			}
		}
	}
	return out
}

// outline tells whether one face looks toward the viewer and the other away.
func outline(u, v, toward r3.Vec) bool {
	return (r3.Dot(u, toward) >= 0) != (r3.Dot(v, toward) >= 0)
}

func angle(u, v r3.Vec) float64 { return math.Atan2(r3.Norm(r3.Cross(u, v)), r3.Dot(u, v)) }

// normal is the unit outward normal of a face, zero for one without area.
func normal(m solid.Mesh, f [3]int32) r3.Vec {
	a := m.Vertices[f[0]]
	n := r3.Cross(r3.Sub(m.Vertices[f[1]], a), r3.Sub(m.Vertices[f[2]], a))
	if n == (r3.Vec{}) {
		return n
	}
	return r3.Unit(n)
}

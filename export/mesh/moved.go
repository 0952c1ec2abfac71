package mesh

import (
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// Metre is a millimetre in metres, for the formats that are defined
// in metres.
const Metre = 1e-3

// Moved is a mesh in base seen from another frame, every length times scale.
func Moved(m solid.Mesh, frameFromBase geom.Pose, scale float64) solid.Mesh {
	out := solid.Mesh{Vertices: make([]r3.Vec, len(m.Vertices)), Faces: m.Faces}
	for i, v := range m.Vertices {
		out.Vertices[i] = r3.Scale(scale, frameFromBase.Apply(v))
	}
	return out
}

package solid

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Mesh is a closed triangle mesh; each face's corners run counter-clockwise
// seen from outside.
type Mesh struct {
	Vertices []r3.Vec
	Faces    [][3]int32
}

// Volume that the mesh encloses, mm^3.
func (m Mesh) Volume() float64 {
	v, _ := m.moment()
	return v
}

// Centroid of the enclosed body.
func (m Mesh) Centroid() r3.Vec {
	v, c := m.moment()
	return r3.Add(m.Vertices[0], r3.Scale(1/v, c))
}

// moment is the volume and its first moment about the first vertex, summed over
// the tetrahedra between it and every face.
func (m Mesh) moment() (volume float64, first r3.Vec) {
	o := m.Vertices[0]
	for _, f := range m.Faces {
		a, b, c := r3.Sub(m.Vertices[f[0]], o), r3.Sub(m.Vertices[f[1]], o), r3.Sub(m.Vertices[f[2]], o)
		v := r3.Dot(a, r3.Cross(b, c)) / 6
		volume += v
		first = r3.Add(first, r3.Scale(v/4, r3.Add(a, r3.Add(b, c))))
	}
	return volume, first
}

// Bounds is the axis-aligned box round the mesh.
func (m Mesh) Bounds() geom.Bounds {
	b := geom.NoBounds()
	for _, v := range m.Vertices {
		b.Extend(v)
	}
	return b
}

// prismMesh joins two rings of the same length, bottom and top, both running
// counter-clockwise seen from the top.
func prismMesh(bottom, top []r3.Vec) Mesh {
	n := int32(len(bottom))
	m := Mesh{Vertices: append(append(make([]r3.Vec, 0, 2*n), bottom...), top...)}
	for i := range n {
		j := (i + 1) % n
		m.Faces = append(m.Faces, [3]int32{i, j, n + j}, [3]int32{i, n + j, n + i})
	}
	for i := int32(1); i+1 < n; i++ {
		m.Faces = append(m.Faces, [3]int32{0, i + 1, i}, [3]int32{n, n + i, n + i + 1})
	}
	return m
}

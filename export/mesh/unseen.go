package mesh

import (
	"path/filepath"

	"cellwall/scene"
	"cellwall/scene/solid"

	"github.com/hschendel/stl"
)

// UnseenFile is the name of what WriteUnseen makes.
const UnseenFile = "unseen.stl"

// WriteUnseen puts the closed surface of the space in reach that nobody has
// looked into into dir/unseen.stl. There is no file where there is no such
// space, or where the scene does not know its states.
func WriteUnseen(dir string, s *scene.Scene) error {
	if s.States == nil {
		return nil
	}
	m := s.States.Surface()
	if len(m.Faces) == 0 {
		return nil
	}
	return WriteCubes(filepath.Join(dir, UnseenFile), "unseen space in reach: "+s.Cell, m)
}

// WriteCubes puts the closed surface of whole cubes into a binary STL whose
// header says what it is.
func WriteCubes(path, what string, m solid.Mesh) error {
	f := lattice(m)
	return writeHeaded(path, heading("cellwall: mm, base frame, "+what), f.triangles())
}

// lattice brings a surface of whole voxels to single precision. Its vertices lie
// a voxel apart, so no two become one and no facet flat.
func lattice(m solid.Mesh) Facets {
	f := Facets{Faces: m.Faces, Vertices: make([]stl.Vec3, len(m.Vertices))}
	for i, v := range m.Vertices {
		f.Vertices[i] = stl.Vec3{float32(v.X), float32(v.Y), float32(v.Z)}
	}
	return f
}

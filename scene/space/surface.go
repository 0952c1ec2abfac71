package space

import (
	"cellwall/mapping/sight"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// Surface is the closed surface round the unseen voxels that the arm can touch,
// outward. Where two of them meet in an edge alone, a voxel beside it that is
// not unseen is taken in, so that every edge belongs to two faces. It has no
// vertices where nothing is unseen.
func (s *States) Surface() solid.Mesh { return SurfaceOf(s.Lattice, s.inReach()) }

// SurfaceOf is the surface round a set of the lattice's cubes, as Surface is. It
// takes cubes into the set.
func SurfaceOf(l sight.Lattice, set sight.Bits) solid.Mesh {
	set.Seal()
	m := mesher{lattice: l, set: set}
	set.Each(m.voxel)
	return m.out
}

// mesher puts two triangles on every face between a voxel of the set and one
// outside of it, layer by layer along Z.
type mesher struct {
	lattice sight.Lattice
	set     sight.Bits
	out     solid.Mesh
	index   [2]map[[2]int]int32 // of the vertices below and above the layer, by place
	z       int                 // the layer
}

// voxel puts the faces round one, which come by layers.
func (m *mesher) voxel(c [3]int) {
	if z := c[2]; z != m.z || m.index[1] == nil {
		m.index[0] = map[[2]int]int32{}
		if z == m.z+1 && m.index[1] != nil {
			m.index[0] = m.index[1]
		}
		m.index[1], m.z = map[[2]int]int32{}, z
	}
	for axis := range 3 {
		for side := range 2 {
			beside := c
			beside[axis] += 2*side - 1
			if !m.lattice.Holds(beside) || !m.set.Has(beside) {
				m.face(c, axis, side)
			}
		}
	}
}

// face puts the voxel's face across the axis on the low side, 0, or the high
// one, 1, counter-clockwise seen from outside.
func (m *mesher) face(c [3]int, axis, side int) {
	u, v := (axis+1)%3, (axis+2)%3
	if side == 0 {
		u, v = v, u
	}
	var corner [4]int32
	for i, at := range [4][2]int{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
		d := [3]int{}
		d[axis], d[u], d[v] = side, at[0], at[1]
		corner[i] = m.vertex(c, d)
	}
	m.out.Faces = append(m.out.Faces,
		[3]int32{corner[0], corner[1], corner[2]}, [3]int32{corner[0], corner[2], corner[3]})
}

// vertex is the corner d of the voxel c.
func (m *mesher) vertex(c, d [3]int) int32 {
	x, y, z := c[0]+d[0], c[1]+d[1], c[2]+d[2]
	known := m.index[d[2]]
	i, ok := known[[2]int{x, y}]
	if !ok {
		i = int32(len(m.out.Vertices))
		known[[2]int{x, y}] = i
		at := r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)}
		m.out.Vertices = append(m.out.Vertices, r3.Add(m.lattice.Origin, r3.Scale(m.lattice.Edge, at)))
	}
	return i
}

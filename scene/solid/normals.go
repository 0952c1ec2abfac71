package solid

import (
	"cmp"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// cross is a face's normal, twice its area long.
func (m Mesh) cross(face int32) r3.Vec {
	f := m.Faces[face]
	a := m.Vertices[f[0]]
	return r3.Cross(r3.Sub(m.Vertices[f[1]], a), r3.Sub(m.Vertices[f[2]], a))
}

// across returns for every face the neighbour beyond each edge; edge i runs
// from corner i to the next.
func (m Mesh) across() [][3]int32 {
	left := make(map[[2]int32]int32, 3*len(m.Faces))
	for i, f := range m.Faces {
		for k := range 3 {
			left[[2]int32{f[k], f[(k+1)%3]}] = int32(i)
		}
	}
	out := make([][3]int32, len(m.Faces))
	for i, f := range m.Faces {
		for k := range 3 {
			out[i][k] = left[[2]int32{f[(k+1)%3], f[k]}]
		}
	}
	return out
}

// flats are the planes of the mesh, one for every group of neighbouring faces
// that turn by less than bend (rad) against the largest of the group.
func (m Mesh) flats(bend float64) halfspaces {
	area := make([]r3.Vec, len(m.Faces))
	order := make([]int32, len(m.Faces))
	for i := range m.Faces {
		area[i], order[i] = m.cross(int32(i)), int32(i)
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(r3.Norm2(area[b]), r3.Norm2(area[a])) })
	across, taken := m.across(), make([]bool, len(m.Faces))
	var out halfspaces
	for _, first := range order {
		if taken[first] {
			continue
		}
		n := r3.Unit(area[first])
		out = append(out, geom.Plane{Normal: n, Offset: r3.Dot(n, m.Vertices[m.Faces[first][0]])})
		taken[first] = true
		for todo := []int32{first}; len(todo) > 0; {
			f := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			for _, g := range across[f] {
				if !taken[g] && r3.Norm(r3.Sub(r3.Unit(area[g]), n)) < bend {
					taken[g] = true
					todo = append(todo, g)
				}
			}
		}
	}
	return out
}

// The grown corner of a box stands at 1.73 times the margin. Edges that turn by
// clearly more than a box's, and corners that reach out further, are bevelled.
const (
	sharpEdge   = -0.05 // cosine between the normals of the two faces, 93 degrees
	sharpCorner = 0.5   // cosine between a face's normal and the corner's own direction
)

// bevels are the unit normals of planes that touch the mesh at its sharp edges
// and corners.
func (m Mesh) bevels() []r3.Vec {
	var out []r3.Vec
	unit := make([]r3.Vec, len(m.Faces))
	for i := range unit {
		unit[i] = r3.Unit(m.cross(int32(i)))
	}
	outward := make([]r3.Vec, len(m.Vertices))             // away from the neighbours
	facing := slices.Repeat([]float64{1}, len(m.Vertices)) // the least of the faces'
	for i, around := range m.across() {
		for k, g := range around {
			a, b := m.Faces[i][k], m.Faces[i][(k+1)%3]
			along := r3.Unit(r3.Sub(m.Vertices[b], m.Vertices[a]))
			outward[a] = r3.Sub(outward[a], along)
			if int32(i) < g && r3.Dot(unit[i], unit[g]) < sharpEdge {
				out = append(out, r3.Unit(r3.Cross(along, r3.Sub(unit[i], unit[g]))))
			}
		}
	}
	for i, f := range m.Faces {
		for _, v := range f {
			facing[v] = min(facing[v], r3.Dot(unit[i], r3.Unit(outward[v])))
		}
	}
	for v, c := range facing {
		if c < sharpCorner {
			out = append(out, r3.Unit(outward[v]))
		}
	}
	return out
}

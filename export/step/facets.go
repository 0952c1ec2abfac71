package step

import (
	"cmp"
	"slices"

	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// facets takes a closed mesh; triangles that lie in one plane make one face.
func facets(m solid.Mesh) polyhedron {
	g := grouper{mesh: m, beside: map[[2]int32]int{}, group: make([]int, len(m.Faces))}
	area := make([]float64, len(m.Faces))
	order := make([]int, len(m.Faces))
	for i, t := range m.Faces {
		for k := range 3 {
			g.beside[[2]int32{t[k], t[(k+1)%3]}] = i
		}
		area[i], order[i], g.group[i] = r3.Norm(g.normal(i)), i, none
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(area[b], area[a]) }) // the largest tells its plane best
	p := polyhedron{corners: m.Vertices}
	for _, seed := range order {
		if g.group[seed] != none {
			continue
		}
		members := g.grow(seed)
		if ring, ok := g.ring(members); ok {
			p.faces = append(p.faces, ring)
			continue
		}
		for _, i := range members {
			t := m.Faces[i]
			p.faces = append(p.faces, []int{int(t[0]), int(t[1]), int(t[2])})
		}
	}
	return p
}

// none is the group of a triangle that is in none yet.
const none = -1

// grouper puts the triangles of a mesh into groups, each named by its first.
type grouper struct {
	mesh   solid.Mesh
	beside map[[2]int32]int // the triangle that runs along an edge
	group  []int
}

func (g *grouper) corner(i, k int) r3.Vec { return g.mesh.Vertices[g.mesh.Faces[i][k]] }

// normal of triangle i, twice its area long.
func (g *grouper) normal(i int) r3.Vec {
	return r3.Cross(r3.Sub(g.corner(i, 1), g.corner(i, 0)), r3.Sub(g.corner(i, 2), g.corner(i, 0)))
}

// grow takes the triangles round the seed that lie in its plane to accuracy.
func (g *grouper) grow(seed int) []int {
	n, at := r3.Unit(g.normal(seed)), g.corner(seed, 0)
	flat := func(i int) bool {
		for k := range 3 {
			if d := r3.Dot(n, r3.Sub(g.corner(i, k), at)); d > accuracy || d < -accuracy {
				return false
			}
		}
		return r3.Dot(n, g.normal(i)) > 0
	}
	members := []int{seed}
	g.group[seed] = seed
	for next := 0; next < len(members); next++ {
		t := g.mesh.Faces[members[next]]
		for k := range 3 {
			i := g.beside[[2]int32{t[(k+1)%3], t[k]}]
			if g.group[i] == none && flat(i) {
				g.group[i] = seed
				members = append(members, i)
			}
		}
	}
	return members
}

// ring is the one loop round a group; ok is false where there is not just one.
func (g *grouper) ring(members []int) (ring []int, ok bool) {
	next := map[int32]int32{}
	edges := 0
	for _, i := range members {
		t := g.mesh.Faces[i]
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			if g.group[g.beside[[2]int32{b, a}]] != g.group[i] {
				next[a] = b
				edges++
			}
		}
	}
	first := g.mesh.Faces[members[0]][0]
	if _, rim := next[first]; !rim { // the group's inside
		return nil, false
	}
	for at := first; len(ring) <= edges; {
		ring = append(ring, int(at))
		if at = next[at]; at == first {
			break
		}
	}
	return ring, len(ring) == edges
}

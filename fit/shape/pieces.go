package shape

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Pieces are the corners of the bodies of the model, each closed by itself, and
// held by its hull; shells that bound a hollow within one are left out. In the
// order of the facets, base frame.
func (m *Model) Pieces(baseFromModel geom.Pose) [][]r3.Vec {
	var out [][]r3.Vec
	for _, piece := range pieces(m.tree.facets) {
		var volume float64
		seen := map[r3.Vec]bool{}
		var corners []r3.Vec
		for _, f := range piece {
			volume += r3.Dot(f[0], r3.Cross(f[1], f[2])) / 6
			for _, p := range f {
				if !seen[p] {
					seen[p] = true
					corners = append(corners, baseFromModel.Apply(p))
				}
			}
		}
		if volume > 0 {
			out = append(out, corners)
		}
	}
	return out
}

// pieces parts the facets into bodies: those that two facets share an edge of hang
// together (union-find: Tarjan, J. ACM 22 (1975) 215). Where two bodies touch in
// an edge, four facets share it.
func pieces(facets []geom.Triangle) [][]geom.Triangle {
	type edge [2]r3.Vec
	at := map[edge][]int{}
	for i, f := range facets {
		for k := range f {
			e := edge{f[k], f[(k+1)%3]}
			at[e] = append(at[e], i)
		}
	}
	parent := make([]int, len(facets))
	for i := range parent {
		parent[i] = i
	}
	find := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	for i, f := range facets {
		for k := range f {
			there, back := at[edge{f[k], f[(k+1)%3]}], at[edge{f[(k+1)%3], f[k]}]
			if len(there) == 1 && len(back) == 1 {
				parent[find(i)] = find(back[0])
			}
		}
	}
	number := map[int]int{}
	var out [][]geom.Triangle
	for i, f := range facets {
		root := find(i)
		k, ok := number[root]
		if !ok {
			k = len(out)
			number[root] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], f)
	}
	return out
}

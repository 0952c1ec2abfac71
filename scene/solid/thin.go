package solid

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// thinness is how far a corner must stand out from the hull of the others to be
// kept, in lattice steps: rounding moves a point by up to 0.87 of a step, so
// two coplanar facets may seem bent by as much.
const thinness = 2

// thinned is a hull less the corners that barely stand out.
type thinned struct {
	corners []node
	faces   [][3]int32 // indices into corners; nil where nothing is left
	passed  []node     // the corners left out
}

// thinHull is the hull of distinct nodes, thinned.
//
// The height of a corner over the opposite side of a facet is at least its
// distance to the hull of the other corners: thus no facet is thinner than
// thinness. Of two neighbours only one is taken away at a time, since each may
// stand out only while the other is there.
func thinHull(nodes []node) (t thinned) {
	for {
		faces := hullOf(nodes)
		if faces == nil {
			return thinned{}
		}
		kept, passed := thin(nodes, faces)
		if len(passed) == 0 {
			t.corners, t.faces = compact(nodes, faces)
			return t
		}
		nodes = kept
		t.passed = append(t.passed, passed...)
	}
}

// thin parts the hull's corners into those to keep and those that barely stand
// out.
func thin(nodes []node, faces [][3]int32) (kept, passed []node) {
	links := make([][]int32, len(nodes))
	outward := make([]r3.Vec, len(nodes)) // the sum of the faces' normals
	for _, f := range faces {
		a, b := nodes[f[1]].minus(nodes[f[0]]).vec(), nodes[f[2]].minus(nodes[f[0]]).vec()
		n := r3.Cross(a, b)
		n = r3.Scale(1/math.Sqrt(r3.Norm2(n)), n)
		for i, v := range f {
			links[v] = append(links[v], f[(i+1)%3])
			outward[v] = r3.Add(outward[v], n)
		}
	}
	gone := make([]bool, len(nodes))
	var around []r3.Vec
	for v, link := range links {
		if link == nil {
			continue
		}
		if slices.ContainsFunc(link, func(w int32) bool { return gone[w] }) {
			kept = append(kept, nodes[v])
			continue
		}
		around = around[:0]
		for _, w := range link {
			around = append(around, nodes[w].minus(nodes[v]).vec())
		}
		gone[v] = !juts(around, outward[v], thinness) && near(r3.Vec{}, around, thinness)
		if gone[v] {
			passed = append(passed, nodes[v])
		} else {
			kept = append(kept, nodes[v])
		}
	}
	return kept, passed
}

// juts tells at a glance of most corners that they stand out by more than eps:
// seen along outward, all their neighbours lie further behind than that. Where
// it says no, a corner may stand out all the same.
func juts(around []r3.Vec, outward r3.Vec, eps float64) bool {
	behind := -eps * math.Sqrt(r3.Norm2(outward))
	for _, q := range around {
		if !(r3.Dot(outward, q) < behind) { // NaN of a face without area included
			return false
		}
	}
	return true
}

// compact leaves out the nodes that no face uses.
func compact(nodes []node, faces [][3]int32) ([]node, [][3]int32) {
	index := make(map[int32]int32)
	var kept []node
	out := make([][3]int32, len(faces))
	for i, f := range faces {
		for j, v := range f {
			k, ok := index[v]
			if !ok {
				k = int32(len(kept))
				index[v] = k
				kept = append(kept, nodes[v])
			}
			out[i][j] = k
		}
	}
	return kept, out
}

package surface

import (
	"slices"

	"cellwall/mapping/cores"
	"cellwall/mapping/geom"
)

// levels of the octree: nodes of 10, 20, 40 … 1280 mm. The largest is about the
// free stretch of wall or floor between two things in a room.
const levels = 8

// edge is the edge of a node of a level, mm.
func edge(level int) float64 { return leaf * float64(int(1)<<level) }

// node is a cube of space with the moments of all that lies in it, weighted by
// 1/variance.
type node struct {
	geom.Moments
	points      float64
	code        uint64
	first, last int32 // spots [first, last)
	child       int32 // its first node of the level below
}

// tree is an octree over spots in Morton order: every node is a range of them.
type tree struct {
	spots  []spot
	levels [levels][]node
	index  [levels]*index
}

// newTree sums up the nodes, from the leaves to the root.
func newTree(spots []spot) *tree {
	t := &tree{spots: spots}
	t.levels[0] = leaves(spots)
	for l := 1; l < levels; l++ {
		t.levels[l] = gather(t.levels[l-1])
	}
	cores.Each(levels, func(l int) { t.index[l] = newIndex(t.levels[l]) })
	return t
}

// blockOfLeaves is how many spots one job sums up; more than one job is worth it
// from some ten thousand on.
const blockOfLeaves = 1 << 14

// leaves sums up the smallest nodes. Each job takes the nodes that start in its
// block, so that the result does not depend on who does which.
func leaves(spots []spot) []node {
	blocks := make([][]node, (len(spots)+blockOfLeaves-1)/blockOfLeaves)
	cores.Each(len(blocks), func(b int) {
		from, to := b*blockOfLeaves, min((b+1)*blockOfLeaves, len(spots))
		for from > 0 && from < to && spots[from].code == spots[from-1].code {
			from++
		}
		blocks[b] = make([]node, 0, to-from)
		for i := from; i < to; {
			n := node{code: spots[i].code, first: int32(i)}
			for ; i < len(spots) && spots[i].code == n.code; i++ {
				n.Merge(spots[i].Weighted(1 / spots[i].variance()))
				n.points += spots[i].N
			}
			n.last = int32(i)
			blocks[b] = append(blocks[b], n)
		}
	})
	return slices.Concat(blocks...)
}

// gather sums the nodes of a level up into those of the level above.
func gather(below []node) []node {
	out := make([]node, 0, len(below)/2+1)
	for i := range below {
		b := &below[i]
		if n := len(out); n == 0 || out[n-1].code != b.code>>3 {
			out = append(out, node{code: b.code >> 3, first: b.first, child: int32(i)})
		}
		n := &out[len(out)-1]
		n.Merge(b.Moments)
		n.points += b.points
		n.last = b.last
	}
	return out
}

// children calls f for every node right below node n of a level above 0.
func (t *tree) children(level int, n int32, f func(k int32)) {
	up := &t.levels[level][n]
	below := t.levels[level-1]
	for k := up.child; int(k) < len(below) && below[k].code>>3 == up.code; k++ {
		f(k)
	}
}

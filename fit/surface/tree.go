package surface

import (
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// levels of the octree: nodes of 10, 20, 40 … 1280 mm. The largest is about the
// free stretch of wall or floor between two things in a room.
const levels = 8

// edge is the edge of a node of a level, mm.
func edge(level int) float64 { return leaf * float64(int(1)<<level) }

// spot is a voxel as the tree holds it, with the variances that every test
// needs beside it.
type spot struct {
	geom.Moments
	toward r3.Vec
	noise  float64 // of a point along the ray, mm^2
	drift  float64 // of the sweep as a whole at this place, mm^2
	code   uint64
	voxel  int32 // index into Cloud.Voxels
	scan   int32
}

// variance of a point about a surface that several sweeps have seen, mm^2.
func (s *spot) variance() float64 { return s.noise + s.drift }

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
	owner  []int32 // the region that a spot belongs to, or free
	levels [levels][]node
	index  [levels]*index
}

// newTree sorts the voxels and sums up the nodes, from the leaves to the root.
func newTree(c *mapping.Cloud, drift drift) *tree {
	places := make([]place, len(c.Voxels))
	inParallel(len(places), func(from, to int) {
		for i := from; i < to; i++ {
			places[i] = place{morton(c.Voxels[i].Mean), int32(i)}
		}
	})
	places = inOrder(places)
	t := &tree{spots: make([]spot, len(places)), owner: make([]int32, len(places))}
	inParallel(len(places), func(from, to int) {
		for i := from; i < to; i++ {
			v := &c.Voxels[places[i].voxel]
			sd := c.Noise.Sigma(v.Range)
			t.spots[i] = spot{
				Moments: v.Moments, toward: v.Toward, noise: sd * sd, drift: drift.at(v),
				code: places[i].code, voxel: places[i].voxel, scan: v.Scan,
			}
		}
	})
	for i := range t.owner {
		t.owner[i] = free
	}
	t.sumUp()
	return t
}

// free is the owner of a spot that no region holds.
const free int32 = -1

// sumUp makes the nodes anew of the spots that are free.
func (t *tree) sumUp() {
	leaves := t.levels[0][:0]
	for i := range t.spots {
		if t.owner[i] != free {
			continue
		}
		s := &t.spots[i]
		if n := len(leaves); n == 0 || leaves[n-1].code != s.code {
			leaves = append(leaves, node{code: s.code, first: int32(i)})
		}
		n := &leaves[len(leaves)-1]
		n.Merge(s.Weighted(1 / s.variance()))
		n.points += s.N
		n.last = int32(i) + 1
	}
	t.levels[0] = leaves
	for l := 1; l < levels; l++ {
		t.levels[l] = gather(t.levels[l-1], t.levels[l][:0])
	}
	inParallel(levels, func(from, to int) {
		for l := from; l < to; l++ {
			t.index[l] = newIndex(t.levels[l])
		}
	})
}

// gather sums the nodes of a level up into those of the level above.
func gather(below, into []node) []node {
	for i := range below {
		b := &below[i]
		if n := len(into); n == 0 || into[n-1].code != b.code>>3 {
			into = append(into, node{code: b.code >> 3, first: b.first, child: int32(i)})
		}
		n := &into[len(into)-1]
		n.Merge(b.Moments)
		n.points += b.points
		n.last = b.last
	}
	return into
}

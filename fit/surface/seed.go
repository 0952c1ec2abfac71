package surface

import (
	"cmp"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// seed is a node whose points lie in a plane, as far as noise allows.
type seed struct {
	plane     geom.Plane // normal toward the side seen
	level     int
	node      int32
	thickness float64 // variance across the plane over what noise explains
}

// A seed must hold this many points, and voxels: three determine a plane, and a
// chance plane through a few is ruled out by the rest.
const (
	seedPoints = 12
	seedSpots  = 5
)

// seedWidth is the least standard deviation along the second axis of a seed,
// in edges of its node: a strip 0.4 edges wide has 0.4/sqrt(12) = 0.115.
const seedWidth = 0.115

// seeds finds the largest planar nodes, root first, in order of confidence:
// large before small, thin before thick.
func (t *tree) seeds() []seed {
	var out []seed
	for n := range t.levels[levels-1] {
		out = t.seedsBelow(levels-1, int32(n), out)
	}
	slices.SortStableFunc(out, func(a, b seed) int {
		return cmp.Or(cmp.Compare(b.level, a.level), cmp.Compare(a.thickness, b.thickness))
	})
	return out
}

func (t *tree) seedsBelow(level int, n int32, out []seed) []seed {
	nd := &t.levels[level][n]
	if nd.points < seedPoints || nd.last-nd.first < seedSpots {
		return out
	}
	if s, ok := t.planar(level, n); ok {
		return append(out, s)
	}
	if level > 0 {
		t.children(level, n, func(k int32) { out = t.seedsBelow(level-1, k, out) })
	}
	return out
}

// planar tells whether a node's points spread in two directions and not in the
// third.
func (t *tree) planar(level int, n int32) (seed, bool) {
	nd := &t.levels[level][n]
	plane, w := nd.Plane()
	ratio := w[0] * nd.N / nd.points
	width := seedWidth * edge(level)
	if w[1] < width*width || w[1] < within*within*w[0] || ratio > excess(int(nd.last-nd.first)) {
		return seed{}, false
	}
	var toward r3.Vec
	for i := nd.first; i < nd.last; i++ {
		toward = r3.Add(toward, r3.Scale(t.spots[i].N, t.spots[i].toward))
	}
	return seed{plane: plane.Facing(r3.Add(nd.Mean, toward)), level: level, node: n, thickness: ratio}, true
}

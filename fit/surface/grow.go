package surface

import (
	"slices"

	"cellwall/mapping/geom"
)

// grower spreads regions over the nodes of a tree.
type grower struct {
	*tree
	taken []bool          // which spots a region holds
	seen  [levels][]int32 // the last flood that looked at a node
	flood int32
}

// grow finds the regions of a tree, from the surest seed to the least sure.
func (t *tree) grow() []region {
	g := &grower{tree: t, taken: make([]bool, len(t.spots))}
	for l := range g.seen {
		g.seen[l] = make([]int32, len(t.levels[l]))
	}
	var out []region
	for _, s := range t.seeds() {
		if !g.fresh(s) {
			continue
		}
		r := g.spread(s)
		if !r.sound() {
			continue
		}
		for _, m := range r.members {
			g.taken[m] = true
		}
		slices.Sort(r.members)
		out = append(out, r)
	}
	return out
}

// fresh tells whether most points of a seed belong to no region yet.
func (g *grower) fresh(s seed) bool {
	nd := &g.levels[s.level][s.node]
	var n float64
	for i := nd.first; i < nd.last; i++ {
		if !g.taken[i] {
			n += g.spots[i].N
		}
	}
	return n > nd.points/2
}

// passes of growing: the first finds the plane, the second goes over the same
// ground with it.
const passes = 2

// spread carries a plane from its seed to all that lies in it nearby, fits it
// anew and does so again.
func (g *grower) spread(s seed) region {
	level := g.stride(s)
	start := g.under(s, level)
	r := region{plane: s.plane}
	for pass := range passes {
		r = g.reach(r.plane, level, start, pass == 0)
		if len(r.members) < seedSpots {
			break
		}
		r.plane = r.fit()
	}
	return r
}

// stride is the level whose nodes a region spreads over: a quarter of the seed,
// but no less than two voxels, for not every voxel on a sheet is hit.
func (g *grower) stride(s seed) int {
	nd := &g.levels[s.level][s.node]
	var widest float32
	for i := nd.first; i < nd.last; i++ {
		widest = max(widest, g.spots[i].edge)
	}
	level := max(s.level-2, 0)
	for level < s.level && edge(level) < 2*float64(widest) {
		level++
	}
	return level
}

// under lists the nodes of a level under the seed's node.
func (g *grower) under(s seed, level int) []int32 {
	nodes := []int32{s.node}
	for l := s.level; l > level; l-- {
		var next []int32
		for _, n := range nodes {
			g.children(l, n, func(k int32) { next = append(next, k) })
		}
		nodes = next
	}
	return nodes
}

// reach takes in all spots near the plane that are met on the way from the start
// through neighbouring nodes of the level. Where refit is set the plane follows
// the points taken in, each time their number has doubled.
func (g *grower) reach(pl geom.Plane, level int, start []int32, refit bool) region {
	g.flood++
	r := region{plane: pl}
	seen := g.seen[level]
	queue := slices.Clone(start)
	for _, n := range queue {
		seen[n] = g.flood
	}
	next := 2 * seedSpots
	for head := 0; head < len(queue); head++ {
		n := queue[head]
		if !g.take(&r, &g.levels[level][n]) {
			continue
		}
		for _, code := range around(g.levels[level][n].code) {
			if m := g.index[level].find(code); m >= 0 && seen[m] != g.flood {
				seen[m] = g.flood
				queue = append(queue, m)
			}
		}
		if refit && len(r.members) >= next {
			r.plane = r.fit()
			next = 2 * len(r.members)
		}
	}
	return r
}

// take moves a node's fitting spots into the region; false where there is none.
func (g *grower) take(r *region, nd *node) bool {
	before := len(r.members)
	for i := nd.first; i < nd.last; i++ {
		if s := &g.spots[i]; !g.taken[i] && s.fits(r.plane) {
			r.add(i, s)
		}
	}
	return len(r.members) > before
}

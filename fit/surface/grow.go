package surface

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// region is a set of spots that lie in one plane and hang together.
type region struct {
	plane   geom.Plane
	members []int32 // indices into tree.spots
	geom.Moments
	points float64
}

// within is how many standard deviations a voxel's mean may lie off the plane
// of its region: 3 keeps 99.7 % of those that belong to it.
const within = 3.0

// grazing is the least cosine between a ray and the normal at which a surface
// is seen at all: beyond 85 degrees nothing returns (returns fail from 60 to 70
// degrees on, common practice).
const grazing = 0.087

// grower spreads regions over the nodes of one level.
type grower struct {
	*tree
	seen  [levels][]int32 // the last round in which a node was looked at
	round int32
}

func newGrower(t *tree) *grower {
	g := &grower{tree: t}
	for l := range g.seen {
		g.seen[l] = make([]int32, len(t.levels[l]))
	}
	return g
}

// grow spreads a plane from its seed to all that lies in it nearby, fits it
// anew and does so again, until the plane stays.
func (g *grower) grow(s seed) region {
	r := region{plane: s.plane}
	nd := g.levels[s.level][s.node]
	start := g.reach(s, nd)
	level := max(s.level-2, 0)
	for pass := range 3 {
		r = g.flood(r.plane, level, start, pass == 0)
		if len(r.members) < seedSpots {
			break
		}
		r.plane = r.fit()
	}
	return r
}

// reach lists the nodes of the growing level under the seed's node.
func (g *grower) reach(s seed, nd node) []int32 {
	nodes := []int32{s.node}
	for l := s.level; l > max(s.level-2, 0); l-- {
		var next []int32
		below := g.levels[l-1]
		for _, n := range nodes {
			up := g.levels[l][n]
			for k := up.child; int(k) < len(below) && below[k].code>>3 == up.code; k++ {
				next = append(next, k)
			}
		}
		nodes = next
	}
	return nodes
}

// flood takes in all spots near the plane that can be reached from the start
// nodes through neighbouring nodes of the level. Where refit is set the plane
// follows the points taken in, each time their number has doubled.
func (g *grower) flood(pl geom.Plane, level int, start []int32, refit bool) region {
	g.round++
	r := region{plane: pl}
	seen := g.seen[level]
	queue := append([]int32(nil), start...)
	for _, n := range queue {
		seen[n] = g.round
	}
	next := 2 * seedSpots
	for head := 0; head < len(queue); head++ {
		n := queue[head]
		if !g.take(&r, &g.levels[level][n]) {
			continue
		}
		for _, code := range around(g.levels[level][n].code) {
			if m := g.index[level].find(code); m >= 0 && seen[m] != g.round {
				seen[m] = g.round
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
	any := false
	for i := nd.first; i < nd.last; i++ {
		s := &g.spots[i]
		if g.owner[i] != free || !s.fits(r.plane) {
			continue
		}
		r.members = append(r.members, i)
		r.Merge(s.Weighted(1 / s.variance()))
		r.points += s.N
		any = true
	}
	return any
}

// fits tells whether a voxel lies in the plane, was seen from its front, and is
// no thicker than noise makes it: a voxel that straddles an edge is.
func (s *spot) fits(pl geom.Plane) bool {
	d, v := pl.Distance(s.Mean), s.variance()
	if d*d > within*within*v || r3.Dot(s.toward, pl.Normal) < grazing {
		return false
	}
	return s.Scatter.Form(pl.Normal) <= s.N*v*(1+within*math.Sqrt(2/s.N))
}

// fit is the total least-squares plane of the region, its normal kept to the
// side it was on.
func (r *region) fit() geom.Plane {
	pl, _ := r.Moments.Plane()
	if r3.Dot(pl.Normal, r.plane.Normal) < 0 {
		pl = geom.Plane{Normal: r3.Scale(-1, pl.Normal), Offset: -pl.Offset}
	}
	return pl
}

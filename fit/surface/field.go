package surface

import (
	"cmp"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// field is a cloud divided into regions.
type field struct {
	*tree
	near    int // level of the nodes across whose borders regions are neighbours
	regions []region
	owner   []int32 // of each spot: its region, or none
}

const none int32 = -1

// rounds of seeding: what the large regions of a round leave over may seed small
// ones, the back of a sheet for instance.
const rounds = 4

// divide grows regions over the spots until nothing new is found.
func divide(spots []spot) *field {
	f := &field{tree: newTree(spots), owner: make([]int32, len(spots))}
	var widest float32
	for i := range spots {
		f.owner[i] = none
		widest = max(widest, spots[i].edge)
	}
	for f.near < levels-1 && edge(f.near) < 2*float64(widest) { // two voxels, for not every one is hit
		f.near++
	}
	left := f.tree
	self := []int32(nil) // of the spots that are left: their places in spots
	for round := range rounds {
		found := left.grow()
		for i := range found {
			for k, m := range found[i].members {
				if round > 0 {
					m = self[m]
					found[i].members[k] = m
				}
				f.owner[m] = int32(len(f.regions) + i)
			}
		}
		f.regions = append(f.regions, found...)
		if len(found) == 0 {
			break
		}
		left, self = f.rest()
	}
	return f
}

// rest is a tree of the spots that no region holds, and where each came from.
func (f *field) rest() (*tree, []int32) {
	var self []int32
	for i, o := range f.owner {
		if o == none {
			self = append(self, int32(i))
		}
	}
	spots := make([]spot, len(self))
	for k, i := range self {
		spots[k] = f.spots[i]
	}
	return newTree(spots), self
}

// owners lists the regions in every node of the near level: those of node n are
// list[from[n]:from[n+1]].
func (f *field) owners() (from, list []int32) {
	nodes := f.levels[f.near]
	from = make([]int32, len(nodes)+1)
	for n := range nodes {
		start := len(list)
		for i := nodes[n].first; i < nodes[n].last; i++ {
			if o := f.owner[i]; o != none && !slices.Contains(list[start:], o) {
				list = append(list, o)
			}
		}
		from[n+1] = int32(len(list))
	}
	return from, list
}

// join makes one region of neighbours that lie in one plane.
func (f *field) join() {
	pairs := f.neighbours()
	into := make([]int32, len(f.regions))
	for i := range into {
		into[i] = int32(i)
	}
	root := func(i int32) int32 {
		for into[i] != i {
			into[i] = into[into[i]]
			i = into[i]
		}
		return i
	}
	for again := true; again; {
		again = false
		for _, p := range pairs {
			a, b := root(p[0]), root(p[1])
			if a == b || !together(&f.regions[a], &f.regions[b]) {
				continue
			}
			if f.regions[a].points < f.regions[b].points {
				a, b = b, a
			}
			f.regions[a].merge(&f.regions[b])
			into[b], again = a, true
		}
	}
	for i, o := range f.owner {
		if o != none {
			f.owner[i] = root(o)
		}
	}
	f.drop(func(i int) bool { return root(int32(i)) != int32(i) })
}

// neighbours lists the pairs of regions that meet, those of many points first.
func (f *field) neighbours() [][2]int32 {
	from, list := f.owners()
	met := map[[2]int32]bool{}
	meet := func(a, b int32) {
		if a != b {
			met[[2]int32{min(a, b), max(a, b)}] = true
		}
	}
	var ring []int32
	for n := range f.levels[f.near] {
		own := list[from[n]:from[n+1]]
		ring = f.ring(int32(n), ring)
		for _, m := range ring {
			if m < int32(n) {
				continue
			}
			for _, a := range own {
				for _, b := range list[from[m]:from[m+1]] {
					meet(a, b)
				}
			}
		}
	}
	pairs := make([][2]int32, 0, len(met))
	for p := range met {
		pairs = append(pairs, p)
	}
	lesser := func(p [2]int32) float64 { return min(f.regions[p[0]].points, f.regions[p[1]].points) }
	slices.SortFunc(pairs, func(p, q [2]int32) int {
		return cmp.Or(cmp.Compare(lesser(q), lesser(p)), cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1]))
	})
	return pairs
}

// ring is node n of the near level and those about it, in into[:0].
func (f *field) ring(n int32, into []int32) []int32 {
	into = append(into[:0], n)
	for _, code := range around(f.levels[f.near][n].code) {
		if m := f.index[f.near].find(code); m >= 0 {
			into = append(into, m)
		}
	}
	return into
}

// together tells whether two regions are pieces of one plane: seen from one
// side, and no thicker about the plane of both than noise makes them.
func together(a, b *region) bool {
	if r3.Dot(a.plane.Normal, b.plane.Normal) < parallel {
		return false
	}
	both := a.Moments
	both.Merge(b.Moments)
	pl, _ := both.Plane()
	return a.thin(pl) && b.thin(pl)
}

// parallel is the cosine of the angle below which two small patches may be of
// one plane: 10 degrees, what 1 mm makes of a patch of 6 mm.
const parallel = 0.985

// thin tells whether the members lie about the plane as noise has it.
func (r *region) thin(pl geom.Plane) bool {
	return r.SquaresTo(pl) <= r.points*excess(len(r.members))
}

package align

import (
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// region is one flat surface, or a piece of one: patches of several scans that
// join.
type region struct {
	patches []int
	plane   geom.Plane
	middle  r3.Vec
}

// Reach is how far apart patches of one surface may lie.
type Reach struct {
	Gate float64 // across, mm
	Turn float64 // between normals, rad
}

// regions joins the patches into flat surfaces, the largest patches first, and
// keeps those that two scans or more have seen.
func regions(patches []Patch, parts []Part, reach Reach) []region {
	g := grower{patches: patches, reach: reach, near: map[index][]int{}, taken: make([]bool, len(patches))}
	for i := range patches {
		g.near[patches[i].cell] = append(g.near[patches[i].cell], i)
	}
	order := make([]int, len(patches))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(patches[b].N) - int(patches[a].N) })
	var out []region
	for _, seed := range order {
		if g.taken[seed] {
			continue
		}
		r := g.grow(seed)
		for _, i := range r.patches {
			g.taken[i] = true
		}
		if shared(patches, parts, r.patches) {
			out = append(out, r)
		}
	}
	return out
}

// shared tells whether two scans or more saw the patches.
func shared(patches []Patch, parts []Part, of []int) bool {
	scan := func(i int) int { return parts[patches[i].Part].Scan }
	for _, i := range of {
		if scan(i) != scan(of[0]) {
			return true
		}
	}
	return false
}

type grower struct {
	patches []Patch
	reach   Reach
	near    map[index][]int
	taken   []bool
}

// even is how far from its middle a surface counts as a plane, mm: floors and
// walls are flat to a millimetre or two over a metre and a half, not over a
// shop (common practice).
const even = 750.0

// grow joins to the seed what lies next to it and on with it, then holds all of
// that against its common plane.
func (g *grower) grow(seed int) region {
	in := map[int]bool{seed: true}
	queue := []int{seed}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		g.around(at, func(i int) {
			if !in[i] && !g.taken[i] && g.on(at, i) && r3.Norm(r3.Sub(g.patches[i].Mean, g.patches[seed].Mean)) < even {
				in[i] = true
				queue = append(queue, i)
			}
		})
	}
	members := make([]int, 0, len(in))
	for i := range in {
		members = append(members, i)
	}
	slices.Sort(members)
	return g.hold(seed, members)
}

// around visits the patches of the cells next to patch at, in order.
func (g *grower) around(at int, do func(i int)) {
	c := g.patches[at].cell
	for x := int32(-1); x <= 1; x++ {
		for y := int32(-1); y <= 1; y++ {
			for z := int32(-1); z <= 1; z++ {
				for _, i := range g.near[index{c[0] + x, c[1] + y, c[2] + z}] {
					do(i)
				}
			}
		}
	}
}

// on tells whether patch b goes on where patch a is.
func (g *grower) on(a, b int) bool {
	p, q := &g.patches[a], &g.patches[b]
	n := r3.Add(p.Normal, q.Normal)
	if r3.Dot(p.Normal, q.Normal) < math.Cos(g.reach.Turn) {
		return false
	}
	return math.Abs(r3.Dot(n, r3.Sub(q.Mean, p.Mean)))/r3.Norm(n) < g.reach.Gate+math.Hypot(p.slack(), q.slack())
}

// slack is by how much noise may put the patch off its surface, mm: three
// deviations of its mean.
func (p *Patch) slack() float64 { return 3 * math.Sqrt(runs/p.N) * p.Rough }

// holds is how often members are held against their plane anew.
const holds = 3

// hold fits the members' plane and keeps those within reach of it; the seed
// stays, so that growing comes to an end.
func (g *grower) hold(seed int, members []int) region {
	r := region{patches: members}
	for range holds {
		var m geom.Moments
		var facing r3.Vec
		for _, i := range r.patches {
			p := &g.patches[i]
			// Each patch counts alike: near ones hold thousands of points.
			m.Merge(p.Weighted(1 / p.N))
			facing = r3.Add(facing, p.Normal)
		}
		r.plane, _ = m.Plane()
		r.middle = m.Mean
		if r3.Dot(r.plane.Normal, facing) < 0 {
			r.plane = geom.Plane{Normal: r3.Scale(-1, r.plane.Normal), Offset: -r.plane.Offset}
		}
		kept := r.patches[:0:0]
		for _, i := range members {
			p := &g.patches[i]
			if i == seed || math.Abs(r.plane.Distance(p.Mean)) < g.reach.Gate+p.slack() && r3.Dot(p.Normal, r.plane.Normal) > math.Cos(g.reach.Turn) {
				kept = append(kept, i)
			}
		}
		r.patches = kept
	}
	return r
}

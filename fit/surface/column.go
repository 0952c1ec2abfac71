package surface

import (
	"cmp"
	"math"
	"slices"

	"cellwall/fit/surface/shape"
	"cellwall/mapping/cores"

	"gonum.org/v1/gonum/spatial/r3"
)

// A cylinder shows up among the regions as strips along its axis, each as wide
// as the band of noise lets a plane follow it. column is a cylinder that
// explains such strips better than their planes do.
type column struct {
	shape.Cylinder
	members []int32 // indices of spots, ascending
}

// The radii that are looked for, mm: from a fence post or a piece of round stock
// to a pillar of the building.
const (
	leastRadius = 10.0
	mostRadius  = 400.0
)

// slender is how many times longer than wide a region must be to be tried as a
// strip of a cylinder.
const slender = 2.0

// leastArc is the least arc on which a radius is told, rad: over 45 degrees the
// surface falls off from its tangent by 0.08 radii.
const leastArc = math.Pi / 4

// columns finds cylinders and takes their strips out of the regions.
func (f *field) columns() []column {
	narrow := make([]bool, len(f.regions))
	var strips []int32
	for i := range f.regions {
		if narrow[i] = f.regions[i].slender(); narrow[i] {
			strips = append(strips, int32(i))
		}
	}
	slices.SortStableFunc(strips, func(a, b int32) int {
		return cmp.Compare(f.regions[b].points, f.regions[a].points)
	})
	starts := make([]*shape.Cylinder, len(strips))
	cores.Each(len(strips), func(i int) { starts[i] = f.draw(strips[i]) })
	gone := make([]bool, len(f.regions))
	var out []column
	for k, i := range strips {
		if starts[k] == nil || gone[i] {
			continue
		}
		c, ok := f.columnFrom(i, *starts[k], narrow)
		if !ok {
			continue
		}
		for _, o := range f.absorbed(c.members) {
			gone[o] = true
		}
		f.claim(&c, gone)
		out = append(out, c)
	}
	f.drop(func(i int) bool { return gone[i] || !f.regions[i].sound() })
	return out
}

func (r *region) slender() bool {
	_, w := r.Moments.Plane()
	return w[2] > slender*slender*w[1]
}

// wraps of a column: the first finds the cylinder from a rough start, the second
// goes over the same ground with it, the third settles what the second changed.
const wraps = 3

// columnFrom tries to make a cylinder of a strip and what lies about it.
func (f *field) columnFrom(strip int32, start shape.Cylinder, narrow []bool) (column, bool) {
	nodes := f.nodesOf(f.regions[strip].members)
	c := column{Cylinder: start}
	for range wraps {
		c.members = f.wrap(c.Cylinder, nodes, narrow)
		fit, err := f.fitColumn(c)
		if err != nil || fit.Radius < leastRadius || fit.Radius > mostRadius {
			return column{}, false
		}
		c.Cylinder = fit
	}
	return c, f.convincing(&c)
}

// nodesOf lists the nodes of the near level that hold the spots.
func (f *field) nodesOf(spots []int32) []int32 {
	var out []int32
	last := none
	for _, m := range spots {
		if n := f.index[f.near].find(f.spots[m].code >> (3 * f.near)); n != last {
			out = append(out, n)
			last = n
		}
	}
	return out
}

// about lists the spots in the nodes and in those beside them.
func (f *field) about(nodes []int32) []int32 {
	seen := map[int32]bool{}
	var ring []int32
	for _, n := range nodes {
		ring = f.ring(n, ring)
		for _, m := range ring {
			seen[m] = true
		}
	}
	var out []int32
	for n := range seen {
		for i := f.levels[f.near][n].first; i < f.levels[f.near][n].last; i++ {
			out = append(out, i)
		}
	}
	slices.Sort(out)
	return out
}

// lies tells whether a voxel lies on a cylinder and was seen from outside.
func (s *spot) lies(c shape.Cylinder) bool {
	return s.strangenessTo(c) <= within*within && r3.Dot(s.toward, c.Radial(s.Mean)) > 0
}

// strangenessTo is the squared distance of the voxel's points from the cylinder
// over their variance.
func (s *spot) strangenessTo(c shape.Cylinder) float64 {
	d := c.Spread(s.Moments)
	return d * d / s.across(r3.Unit(c.Radial(s.Mean)))
}

// wrap takes in all spots on the cylinder that are met on the way from the nodes
// through their neighbours, but for those that a plane explains better.
func (f *field) wrap(c shape.Cylinder, start []int32, narrow []bool) []int32 {
	seen := map[int32]bool{}
	queue := slices.Clone(start)
	for _, n := range queue {
		seen[n] = true
	}
	var out, ring []int32
	for head := 0; head < len(queue); head++ {
		nd := &f.levels[f.near][queue[head]]
		before := len(out)
		for i := nd.first; i < nd.last; i++ {
			if f.spots[i].lies(c) && f.prefers(i, c, narrow) {
				out = append(out, i)
			}
		}
		if len(out) == before {
			continue
		}
		ring = f.ring(queue[head], ring)
		for _, n := range ring {
			if !seen[n] {
				seen[n] = true
				queue = append(queue, n)
			}
		}
	}
	slices.Sort(out)
	return out
}

// prefers tells whether the spot is not better explained by a plane that is no
// narrow strip.
func (f *field) prefers(i int32, c shape.Cylinder, narrow []bool) bool {
	o := f.owner[i]
	if o == none || narrow[o] {
		return true
	}
	s := &f.spots[i]
	return s.strangenessTo(c) <= s.strangeness(f.regions[o].plane)
}

package outline

import (
	"math"
	"slices"

	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
)

// Region is a figure with holes, whose direction does not matter.
type Region struct {
	Outer   Ring
	Holes   []Ring
	Doors   []Ring   // further holes, to be left open whatever else is known of them
	Through []r2.Vec // where lines of sight went through the plane: a gap with several of them is known to be open
}

// Clip is the part of the region on the inner side of l.
func (g Region) Clip(l Line) Region {
	out := Region{Outer: g.Outer.Clip(l)}
	for _, p := range g.Through {
		if l.Distance(p) <= 0 {
			out.Through = append(out.Through, p)
		}
	}
	out.Holes, out.Doors = clipAll(g.Holes, l), clipAll(g.Doors, l)
	return out
}

func clipAll(rings []Ring, l Line) []Ring {
	var out []Ring
	for _, r := range rings {
		if c := r.Clip(l); len(c) >= 3 {
			out = append(out, c)
		}
	}
	return out
}

// most pieces that a region is worth: past it the gaps that may be filled grow.
const most = 48

// sliver is how much of a door a piece may take at its edge, mm: what rounding
// leaves of a cut along it.
const sliver = 0.01

// witnesses is how many lines of sight make a gap known to be open: a single one
// may be a stray point's.
const witnesses = 3

// Pieces covers the region with convex pieces, most of them disjoint. They leave
// open all of its doors, and what else is known to be open and large: neither
// narrower than gap nor smaller than a square of that side. Where that would take
// too many pieces the gap is widened by half, and again, until the doors alone
// are left open. Rings come out counter-clockwise.
func (g Region) Pieces(gap float64) []Ring {
	if g.Outer.Area() < 0 {
		g.Outer = slices.Clone(g.Outer)
		slices.Reverse(g.Outer)
	}
	hull := Hull(g.Outer, 0)
	if hull == nil {
		return nil
	}
	along := hull
	if len(g.Doors) > 0 {
		along = g.Doors[0] // a cut along a door takes nothing of it
	}
	u := flat.LeastRectangle(along).U
	axes := [2]r2.Vec{u, {X: -u.Y, Y: u.X}}
	for size := r2.Norm(flat.BoundsAlong(hull, u).Size); ; gap = max(1, 1.5*gap) {
		if p, ok := g.split(axes, gap, most); ok {
			return p
		}
		if gap > size {
			return besideDoors(hull, g.Doors)
		}
	}
}

// besideDoors is what the doors leave of a convex figure: of each piece, what
// lies out of one edge of a door after the other.
func besideDoors(figure Ring, doors []Ring) []Ring {
	left := []Ring{figure}
	for _, d := range doors {
		var next []Ring
		for _, in := range left {
			for _, edge := range Hull(d, 0).Sides() {
				if out := Hull(in.Clip(edge.Other()), 0); out != nil {
					next = append(next, out)
				}
				in = in.Clip(edge)
			}
		}
		left = next
	}
	return left
}

// split cuts the region until no piece fills more than gap allows; ok is false
// where that takes more than budget pieces.
func (g Region) split(axes [2]r2.Vec, gap float64, budget int) (done []Ring, ok bool) {
	todo := []Region{g}
	for len(todo) > 0 {
		if len(done)+len(todo) > budget {
			return nil, false
		}
		r := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if r.empty() {
			continue
		}
		filled, at := r.filled(gap)
		if filled == 0 {
			if h := Hull(r.Outer, 0); h != nil {
				done = append(done, h)
			}
			continue
		}
		cut, ok := r.bestCut(axes, at, filled, gap)
		if !ok {
			return nil, false
		}
		todo = append(todo, r.Clip(cut), r.Clip(cut.Other()))
	}
	return done, true
}

// filled is the area that the region's convex hull would fill and should not,
// with the corners of what it would fill.
func (g Region) filled(gap float64) (area float64, at []r2.Vec) {
	count := func(r Ring, gap float64) {
		if a := math.Abs(r.Area()); a > gap*gap && width(r) > gap {
			area += a
			at = append(at, r...)
		}
	}
	_, doors := g.doorsWithin()
	for _, d := range doors {
		count(d, min(gap, sliver))
	}
	for _, r := range slices.Concat(g.Holes, g.Outer.pockets()) {
		if g.seenThrough(r) {
			count(r, gap)
		}
	}
	return area, at
}

// doorsWithin are the parts of the doors that lie within the region's convex hull,
// which comes with them where there are doors.
func (g Region) doorsWithin() (hull Ring, doors []Ring) {
	if len(g.Doors) == 0 {
		return nil, nil
	}
	hull = Hull(g.Outer, 0)
	for _, d := range g.Doors {
		for _, side := range hull.Sides() {
			d = d.Clip(side)
		}
		if len(d) >= 3 {
			doors = append(doors, d)
		}
	}
	return hull, doors
}

// seenThrough tells whether enough lines of sight went through r.
func (g Region) seenThrough(r Ring) bool {
	n := 0
	for _, p := range g.Through {
		if !flat.Contains(r, p) {
			continue
		}
		if n++; n == witnesses {
			return true
		}
	}
	return false
}

// pockets are the figures between a ring and its convex hull.
func (r Ring) pockets() []Ring {
	corner := make(map[r2.Vec]bool)
	for _, p := range Hull(r, 0) {
		corner[p] = true
	}
	start := slices.IndexFunc(r, func(p r2.Vec) bool { return corner[p] })
	if start < 0 {
		return nil
	}
	var out []Ring
	run := Ring{r[start]}
	for i := 1; i <= len(r); i++ {
		p := r[(start+i)%len(r)]
		run = append(run, p)
		if corner[p] {
			if len(run) > 2 {
				out = append(out, run)
			}
			run = Ring{p}
		}
	}
	return out
}

// width of the ring's convex hull: the least distance between two parallel
// lines that hold it.
func width(r Ring) float64 {
	h := Hull(r, 0)
	w := math.Inf(1)
	for i, p := range h {
		w = min(w, flat.BoundsAlong(h, r2.Unit(r2.Sub(h[(i+1)%len(h)], p))).Size.Y)
	}
	if h == nil {
		return 0
	}
	return w
}

// tries is the most positions that a cut is tried at along each axis.
const tries = 12

// empty tells whether one of the holes or doors leaves nothing of the region.
// Holes may overlap, so the sum of their areas does not tell.
func (g Region) empty() bool {
	covers := func(r Ring, all float64) bool { return math.Abs(r.Area()) >= (1-1e-9)*all }
	all := math.Abs(g.Outer.Area())
	if all == 0 || slices.ContainsFunc(g.Holes, func(h Ring) bool { return covers(h, all) }) {
		return true
	}
	hull, doors := g.doorsWithin()
	return slices.ContainsFunc(doors, func(d Ring) bool { return covers(d, hull.Area()) })
}

// bestCut passes through a corner of what should stay open. The best one leaves
// least to be filled; among those that leave the same, as every first cut
// beside a hole does, the one that finishes most of the region.
func (g Region) bestCut(axes [2]r2.Vec, at []r2.Vec, filled, gap float64) (best Line, ok bool) {
	const finish = 0.1 // what a finished square mm counts against one not filled
	score := math.Inf(-1)
	for _, u := range axes {
		for _, offset := range positions(at, u) {
			l := Line{Normal: u, Offset: offset}
			a, b := g.Clip(l), g.Clip(l.Other())
			if len(a.Outer) < 3 || len(b.Outer) < 3 {
				continue
			}
			s := filled
			for _, side := range []Region{a, b} {
				if side.empty() {
					continue
				}
				f, _ := side.filled(gap)
				s -= f
				if f == 0 {
					s += finish * math.Abs(side.Outer.Area())
				}
			}
			if s > score {
				best, score, ok = l, s, true
			}
		}
	}
	return best, ok
}

// positions of points along u, thinned to an even choice of them.
func positions(points []r2.Vec, u r2.Vec) []float64 {
	var t []float64
	for _, p := range points {
		t = append(t, r2.Dot(p, u))
	}
	slices.Sort(t)
	t = slices.Compact(t)
	if len(t) <= tries {
		return t
	}
	out := make([]float64, tries)
	for i := range out {
		out[i] = t[i*(len(t)-1)/(tries-1)]
	}
	return out
}

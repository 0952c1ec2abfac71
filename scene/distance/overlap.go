package distance

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// contact is how two polytopes overlap along n, from the first to the second:
// apart is the signed gap along n, the greatest of all directions.
type contact struct {
	apart    float64
	n        r3.Vec
	onA, onB r3.Vec
}

// overlap is the gap of bodies whose cores touch or overlap: the direction of
// the greatest signed gap. Rounded cores are replaced by polytopes within them,
// whose gap is never less than that of the cores; the direction is then turned
// to where the cores' own gap is greatest nearby, which is never more than that
// of all directions; and corners are added there. The two bounds end the search,
// or that a few further places gave nothing better, as where an axis runs
// through a point and all directions across are equal.
func overlap(a, b Body) Gap {
	if d := r3.Norm(r3.Sub(b.support(r3.Vec{X: 1}), a.support(r3.Vec{X: 1}))); math.IsNaN(d) {
		return Gap{Distance: d}
	}
	p, q := refining(a), refining(b)
	best := Gap{Distance: math.Inf(-1)}
	for step, idle := 1, 0; step <= MostSteps && idle < fruitless; step++ {
		c := p.shape.contact(q.shape)
		f, h := featureOf(a, p.shape.touching(c.n)), featureOf(b, q.shape.touching(r3.Scale(-1, c.n)))
		before := best.Distance
		for _, n := range facing(&f, &h, c.n) {
			back := r3.Scale(-1, n)
			apart := r3.Dot(n, b.support(back)) - r3.Dot(n, a.support(n))
			if g := gapOf(a, b, c.onA, c.onB, n, apart); !(g.Distance <= best.Distance) {
				best = g
			}
			p.refine(n)
			q.refine(back)
		}
		if best.Steps = step; !(c.apart-a.round()-b.round()-best.Distance > Exact) {
			break
		}
		if idle++; best.Distance > before+Exact {
			idle = 0
		}
	}
	best.B = r3.Add(best.A, r3.Scale(best.Distance, best.Normal))
	return best
}

// fruitless is after how many places without a better gap overlap gives up.
const fruitless = 6

// facing are the directions to try where features face each other along n.
func facing(f, h *feature, n r3.Vec) []r3.Vec {
	if turned, ok := polished(f, h, n); ok {
		return []r3.Vec{n, turned}
	}
	return []r3.Vec{n}
}

// touching are the corners that reach furthest along n.
func (p *polytope) touching(n r3.Vec) []r3.Vec {
	far, _ := p.reach(n)
	var out []r3.Vec
	for _, c := range p.corners {
		if r3.Dot(n, c) >= far-touching {
			out = append(out, c)
		}
	}
	return out
}

// contact tries every direction in which the set of differences can have a
// facet: the facets' normals of both, and the directions across an edge of each
// (Gottschalk, Lin and Manocha, SIGGRAPH 1996, for boxes; the pairs of edges
// that matter are those whose arcs on the sphere of normals cross).
func (p *polytope) contact(q *polytope) contact {
	best := contact{apart: math.Inf(-1), n: r3.Vec{Z: 1}, onA: p.corners[0], onB: q.corners[0]}
	for _, f := range p.facets {
		if s, at := q.reach(r3.Scale(-1, f.Normal)); -s-f.Offset > best.apart {
			best = contact{-s - f.Offset, f.Normal, f.Foot(at), at}
		}
	}
	for _, f := range q.facets {
		if s, at := p.reach(r3.Scale(-1, f.Normal)); -s-f.Offset > best.apart {
			best = contact{-s - f.Offset, r3.Scale(-1, f.Normal), at, f.Foot(at)}
		}
	}
	for i := range p.edges {
		for j := range q.edges {
			p.edges[i].meets(p, q, &q.edges[j], &best)
		}
	}
	if math.IsInf(best.apart, -1) { // no facet and no pair of edges
		best.flatOut(p, q)
	}
	return best
}

// slack is how far outside an edge's normals a direction may lie to be tried,
// rad: what rounding does. A direction tried in vain is never taken for better.
const slack = 1e-9

// meets tries the directions across edge e of p and edge f of q.
func (e *edge) meets(p, q *polytope, f *edge, best *contact) {
	if !f.free && r3.Dot(e.along, f.left)*r3.Dot(e.along, f.right) > slack ||
		!e.free && r3.Dot(f.along, e.left)*r3.Dot(f.along, e.right) > slack {
		return
	}
	n := r3.Cross(e.along, f.along)
	l := r3.Norm(n)
	if l < slack { // parallel: a facet or a corner decides
		return
	}
	n = r3.Scale(1/l, n)
	for _, n := range [2]r3.Vec{n, r3.Scale(-1, n)} {
		between := r3.Dot(n, r3.Sub(f.from, e.from))
		if !(between > best.apart) || !e.bears(n) || !f.bears(r3.Scale(-1, n)) {
			continue
		}
		reach, _ := p.reach(n)
		back, _ := q.reach(r3.Scale(-1, n))
		if apart := -back - reach; apart > best.apart {
			onA, onB := crossing(e, f, n)
			*best = contact{apart, n, onA, onB}
		}
	}
}

// bears tells whether n, which lies across the edge, lies between its facets'
// normals.
func (e *edge) bears(n r3.Vec) bool {
	return e.free || r3.Dot(n, r3.Add(e.left, e.right)) > 0 &&
		r3.Dot(r3.Cross(e.left, n), r3.Cross(n, e.right)) >= -slack
}

// crossing is where the two edges' lines come nearest to each other.
func crossing(e, f *edge, n r3.Vec) (onE, onF r3.Vec) {
	w := r3.Sub(f.from, e.from)
	l := r3.Dot(r3.Cross(e.along, f.along), n)
	s, t := r3.Dot(r3.Cross(w, f.along), n)/l, r3.Dot(r3.Cross(w, e.along), n)/l
	return r3.Add(e.from, r3.Scale(s, e.along)), r3.Add(f.from, r3.Scale(t, f.along))
}

// flatOut is the contact of points and parallel segments that touch: any
// direction across parts them.
func (c *contact) flatOut(p, q *polytope) {
	along := r3.Vec{Z: 1}
	for _, e := range append(slices.Clone(p.edges), q.edges...) {
		along = e.along
	}
	c.n = anyAcross(along)
	reach, at := p.reach(c.n)
	back, to := q.reach(r3.Scale(-1, c.n))
	c.apart, c.onA, c.onB = -back-reach, at, to
}

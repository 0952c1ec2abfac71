package lines

import (
	"slices"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Body is one thing made of convex solids, drawn as one: where its solids meet
// there is no line.
type Body struct {
	Solids []solid.Solid
	Hidden bool // its hidden edges are drawn too
}

// Segment is a straight piece of a line in the plane of the view, mm.
type Segment struct {
	A, B   r2.Vec
	Body   int // index of the body
	Hidden bool
}

// Resolution is how finely edges are tested, mm of the cell.
type Resolution struct {
	Step float64 // between tests along an edge: a thing narrower than this may be missed
	Fine float64 // to which the end of a visible stretch is found
	Lift float64 // things nearer to each other than this count as touching
}

// Project draws the edges of the bodies by parallel projection. viewFromBase
// turns base axes into those of the view: X right, Y up, Z toward the viewer.
func Project(bodies []Body, viewFromBase geom.Rot, r Resolution) []Segment {
	all := make([][]piece, len(bodies))
	for i, b := range bodies {
		all[i] = pieces(b)
	}
	t := tracer{sight: newSight(all, viewFromBase, r.Lift), view: viewFromBase, res: r}
	var out []Segment
	for i, body := range all {
		for own, p := range body {
			near := beside(body, own)
			for _, e := range edges(p.mesh, viewFromBase.T().Axis(2)) {
				t.see(e, p, along(near, e), bodies[i].Hidden)
				for _, s := range t.trace() {
					s.Body = i
					out = append(out, s)
				}
			}
		}
	}
	return out
}

func pieces(b Body) []piece {
	out := make([]piece, len(b.Solids))
	for i, s := range b.Solids {
		out[i] = piece{Solid: s, mesh: s.Mesh(0), bounds: s.Bounds(0)}
	}
	return out
}

// state is what is drawn of a point of an edge.
type state int

const (
	nothing state = iota
	seen
	covered
)

// tracer follows one edge after the other.
type tracer struct {
	sight *sight
	view  geom.Rot
	res   Resolution

	edge   edge
	own    piece
	others []piece
	hidden bool
}

// see sets the edge that is followed.
func (t *tracer) see(e edge, own piece, others []piece, hidden bool) {
	t.edge, t.own, t.others, t.hidden = e, own, others, hidden
}

// trace splits the edge into its visible and its hidden stretches.
func (t *tracer) trace() []Segment {
	a, b := t.view.Apply(t.edge.a), t.view.Apply(t.edge.b)
	if r2.Norm(r2.Sub(flatten(vector(a)), flatten(vector(b)))) < t.res.Fine {
		return nil // seen end on
	}
	path := ln.Path{vector(a), vector(b)}.Chop(t.res.Step)
	var out []Segment
	start, now := path[0], t.at(inward(path[0], path[1], t.res.Fine))
	for i := 1; i < len(path); i++ {
		next := path[i]
		if i == len(path)-1 {
			next = inward(path[i], path[i-1], t.res.Fine)
		}
		if s := t.at(next); s != now {
			turn := t.turn(path[i-1], next, now)
			out = now.append(out, start, turn)
			start, now = turn, s
		}
	}
	out = now.append(out, start, path[len(path)-1])
	if whole := len(out) == 1 && start == path[0]; whole {
		return out
	}
	return slices.DeleteFunc(out, t.stub)
}

// stub tells whether a stretch owes to points being judged from nearer to the
// viewer: where a hidden edge ends at the outline of its body, it peeps out.
func (t *tracer) stub(s Segment) bool { return r2.Norm(r2.Sub(s.B, s.A)) < 2*t.res.Lift }

// inward is the point at distance d from p toward q, or midway where that is
// nearer: at its very end an edge meets others, and what is seen there is not
// what is seen along it.
func inward(p, q ln.Vector, d float64) ln.Vector {
	v := q.Sub(p)
	if l := v.Length(); l > 2*d {
		return p.Add(v.MulScalar(d / l))
	}
	return p.Add(v.MulScalar(0.5))
}

// at judges a point of the edge, given in the view's frame.
func (t *tracer) at(p ln.Vector) state {
	if swallowed(t.view.T().Apply(r3.Vec(p)), t.edge, t.own, t.others) {
		return nothing
	}
	if t.sight.visible(p) {
		return seen
	}
	if t.hidden {
		return covered
	}
	return nothing
}

// turn finds where between p and q the state ceases to be s, by halving.
func (t *tracer) turn(p, q ln.Vector, s state) ln.Vector {
	for q.Distance(p) > t.res.Fine {
		mid := p.Add(q).MulScalar(0.5)
		if t.at(mid) == s {
			p = mid
		} else {
			q = mid
		}
	}
	return p.Add(q).MulScalar(0.5)
}

// append adds the stretch from a to b where something of it is drawn.
func (s state) append(to []Segment, a, b ln.Vector) []Segment {
	if s == nothing {
		return to
	}
	return append(to, Segment{A: flatten(a), B: flatten(b), Hidden: s == covered})
}

func flatten(v ln.Vector) r2.Vec { return r2.Vec{X: v.X, Y: v.Y} }

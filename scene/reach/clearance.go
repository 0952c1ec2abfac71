package reach

import (
	"container/heap"
	"math"

	"cellwall/scene/distance"

	"gonum.org/v1/gonum/spatial/r3"
)

// Clearance is the least distance of a move, or of the whole reach.
type Clearance struct {
	// Least is the least distance that was found, mm; infinite where nothing is
	// anywhere. Negative where bodies overlap.
	Least float64
	// Bound is certain: nowhere along the move is the distance less. It is never
	// above Least.
	Bound float64
	At    float64      // where along the move, 0 to 1
	Q     []float64    // joint angles there, rad
	Gap   distance.Gap // there: A on the arm, B on what it comes near to
	pair  pair
	by    *Checker // which names the pair
}

// Names are those of the arm's part and of what it comes near to; empty where
// there is nothing.
func (x Clearance) Names() (link, object string) {
	switch {
	case x.Q == nil:
		return "", ""
	case x.pair.body >= 0:
		return x.by.Link(x.pair.piece), x.by.objects[x.pair.body]
	}
	return x.by.Link(x.pair.piece), x.by.Link(x.pair.other)
}

// closeness, mm, is how near Bound is to Least when the search ends: well under
// any margin, and under what a scanned surface is good to.
const closeness = 1.0

// stretch of a move, and the pairs on it whose distance is not yet decided.
type stretch struct {
	lo, hi float64
	open   []pair
	lower  float64 // no open pair comes nearer
}

// search finds the least clearance along a straight line in joint angles.
type search struct {
	*Checker
	q0, step []float64 // start, and end less start
	turn     []float64 // the same about the joints' own axes
	at       posture
	best     Clearance
	settled  float64 // the least bound of what is decided
	queue    []stretch
}

// straight is the clearance of the pairs along the way from q0 to q1, all joints
// in proportion. Only distances under limit matter: where there is none, Least
// is limit. Conservative advancement (Mirtich, PhD thesis, Berkeley 1996, 2.3;
// Zhang, Lee and Kim, ACM Trans. Graphics 25 (2006)), by halving: between two
// joint vectors the arm cannot come nearer than its distance midway less how far
// it can travel from there; and not nearer along the direction of that distance
// than its speed along it and a bend allow, which decides sooner.
func (c *Checker) straight(q0, q1 []float64, limit float64, pairs func(*search) []pair) Clearance {
	s := &search{Checker: c, q0: q0, step: make([]float64, len(q0)), settled: limit,
		best: Clearance{Least: limit, Bound: limit, by: c}}
	for i := range q0 {
		s.step[i] = q1[i] - q0[i]
	}
	s.turn = c.arm.Turns(s.step)
	open := pairs(s)
	if len(open) > 0 {
		s.split(stretch{0, 1, open, math.Inf(-1)})
	}
	for len(s.queue) > 0 && s.queue[0].lower < s.best.Least-closeness {
		next := heap.Pop(s).(stretch)
		mid := (next.lo + next.hi) / 2
		s.split(stretch{next.lo, mid, next.open, next.lower})
		s.split(stretch{mid, next.hi, next.open, next.lower})
	}
	s.best.Bound = min(s.best.Least, s.settled)
	if len(s.queue) > 0 {
		s.best.Bound = min(s.best.Bound, s.queue[0].lower)
	}
	return s.best
}

// place is the arm at t along the way.
func (s *search) place(t float64) {
	q := make([]float64, len(s.q0))
	for i := range q {
		q[i] = s.q0[i] + t*s.step[i]
	}
	s.stand(&s.at, q)
}

// split looks at the middle of the stretch, decides pairs where it can, and puts
// the others back.
func (s *search) split(x stretch) {
	mid, half := (x.lo+x.hi)/2, (x.hi-x.lo)/2
	s.place(mid)
	var open []pair
	lower := math.Inf(1)
	var t travel
	last := pair{piece: -1}
	for _, p := range x.open {
		if p.piece != last.piece || p.base != last.base {
			t = s.travel(&s.at, p.piece, p.base, s.turn, half)
		}
		last = p
		g := s.gap(&s.at, p)
		s.found(g, p, mid)
		bound := s.bound(g, &t, p, half)
		if bound >= s.best.Least-closeness {
			s.settled = min(s.settled, bound)
			continue
		}
		open, lower = append(open, p), min(lower, bound)
	}
	if len(open) > 0 {
		heap.Push(s, stretch{x.lo, x.hi, open, max(lower, x.lower)})
	}
}

func (s *search) found(g distance.Gap, p pair, at float64) {
	if g.Distance < s.best.Least {
		s.best.Least, s.best.Gap, s.best.pair, s.best.At = g.Distance, g, p, at
		s.best.Q = append(s.best.Q[:0], s.at.q...)
	}
}

// bound of the pair's distance over the stretch about which the posture stands:
// by how far the core can go, or by how near it can come along the gap's normal,
// whichever says more.
func (s *search) bound(g distance.Gap, t *travel, p pair, half float64) float64 {
	byWay := g.Distance - t.way
	n := g.Normal
	radius := s.at.pieces[p.piece].radius - p.spare
	slab := math.Inf(1) // along n, between the other body and each corner
	for e, corner := range s.at.pieces[p.piece].corners {
		slab = min(slab, r3.Dot(n, r3.Sub(g.B, corner))-radius-t.nearing(e, n, half))
	}
	return max(byWay, slab)
}

// scenePairs are all that could matter over the whole way: pieces and the
// bodies within their travel and the least distance found at a few places.
func scenePairs(s *search) []pair {
	for _, t := range [...]float64{0, 1, .5, .25, .75} {
		s.place(t)
		for _, k := range s.moving {
			if g, i := s.tree.Nearest(s.at.pieces[k].body, s.best.Least); i >= 0 {
				s.found(g, pair{piece: k, body: i}, t)
			}
		}
	}
	s.place(.5)
	var out []pair
	for _, k := range s.moving {
		way := s.travel(&s.at, k, 0, s.turn, .5).way
		margin := way + max(0, s.best.Least)
		s.tree.Near(s.at.pieces[k].body.Bounds(), margin, func(i int) { out = append(out, pair{piece: k, body: i}) })
	}
	return out
}

// ownPairs are those of the arm with itself.
func ownPairs(s *search) []pair { return s.self }

// The queue of stretches is a heap by lower bound.

func (s *search) Len() int           { return len(s.queue) }
func (s *search) Less(i, j int) bool { return s.queue[i].lower < s.queue[j].lower }
func (s *search) Swap(i, j int)      { s.queue[i], s.queue[j] = s.queue[j], s.queue[i] }
func (s *search) Push(x any)         { s.queue = append(s.queue, x.(stretch)) }
func (s *search) Pop() any {
	last := s.queue[len(s.queue)-1]
	s.queue = s.queue[:len(s.queue)-1]
	return last
}

package vise

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r3"
)

// The height of the jaws is theirs, not that of what they stand on: a ledge of
// the body, a bed or a table may be any distance below. It shows only where a jaw
// overhangs: there its upright face ends at a lower edge, under which rays
// passed. Elsewhere, flush with the body or in a corner with it, it is not seen,
// and no height is stated.

const (
	reachStep   = 5.0 // mm: steps of depth in which a face is followed down
	reachPoints = 5   // in a step, for the face to go on
	// sameHeight, mm: lower edges that differ by more are not all the jaws'.
	sameHeight = 1.0
)

// uprights are the upright faces, the fixed jaw's first.
var uprights = []face{fixedFace, fixedBack, fixedLeft, fixedRight, movingFace, movingBack, movingLeft, movingRight}

// reach is how far down the upright faces were seen to go, mm, within what jaws
// have. It bounds the faces for the fit; below it may go on.
func (f *fit) reach() float64 {
	deepest := tradeHeight[0]
	for _, k := range uprights {
		deepest = max(deepest, f.reachOf(k))
	}
	return min(deepest, tradeHeight[1])
}

// reachOf follows the face down from the top as long as there are points on it.
func (f *fit) reachOf(k face) float64 {
	s := f.seat(k, closeGate)
	s.lo.Z = -tradeHeight[1]
	n := make([]int, int(tradeHeight[1]/reachStep)+1)
	for i, q := range f.seen {
		off := r3.Dot(s.normal, q) - s.offset
		if math.Abs(off) < closeGate && s.holds(q, f.points[i].blur) && r3.Dot(s.normal, f.rays[i]) > grazing {
			n[int(-q.Z/reachStep)]++
		}
	}
	depth := 0.0
	for step, points := range n {
		if points >= reachPoints {
			depth = float64(step+1) * reachStep
		} else if step > 0 { // the first is half rim
			break
		}
	}
	return depth
}

// lowerEdge is the height of the jaws, from the edges at which the faces of one
// of them end below; nil where none was seen, or where they do not agree.
func (f *fit) lowerEdge() *Measure {
	if m := f.lowerEdgeOf(uprights[:4]); m != nil {
		return m
	}
	return f.lowerEdgeOf(uprights[4:])
}

func (f *fit) lowerEdgeOf(jaw []face) *Measure {
	var seen []Measure
	var sum, weight float64
	for _, k := range jaw {
		for _, b := range f.below(k) {
			if e, ok := b.edge(); ok {
				m := Measure{-e.at.Z, math.Hypot(e.sigma, ownTrim*b.gap())}
				if m.Value < tradeHeight[0] {
					continue // a lip
				}
				seen = append(seen, m)
				w := 1 / (m.Sigma * m.Sigma)
				sum, weight = sum+w*m.Value, weight+w
			}
		}
	}
	if weight == 0 {
		return nil
	}
	mean := Measure{sum / weight, math.Hypot(edgeRound, 1/math.Sqrt(weight))}
	for _, m := range seen {
		if math.Abs(m.Value-mean.Value) > significant*m.Sigma+sameHeight {
			return nil
		}
	}
	return &mean
}

// below brackets the lower edge of an upright face for each scan: what was seen
// down a strip, points on the face and rays that passed under it, is parted where
// the fewest are on the wrong side.
func (f *fit) below(k face) []bracket {
	along := r3.Cross(r3.Vec{Z: 1}, faces[k].normal)
	lo, hi := f.extent(k)
	t0, t1 := min(r3.Dot(along, lo), r3.Dot(along, hi))+edgeMargin, max(r3.Dot(along, lo), r3.Dot(along, hi))-edgeMargin
	count := max(int((t1-t0)/stripWide), 0)
	strips := make([][][]glimpse, len(f.scans))
	for s := range strips {
		strips[s] = make([][]glimpse, count)
	}
	for i := range f.points {
		q, on, ok := f.meets(i, k)
		t := (r3.Dot(along, q) - t0) / stripWide
		if ok && t >= 0 && t < float64(count) && q.Z < -edgeMargin && q.Z > -tradeHeight[1]-edgeInside {
			s := strips[f.points[i].scan]
			s[int(t)] = append(s[int(t)], glimpse{-q.Z, on})
		}
	}
	all := make([]bracket, len(f.scans))
	for s := range all {
		all[s] = newBracket(count, func(i int, u float64) r3.Vec {
			t := t0 + (float64(i)+0.5)*stripWide
			return r3.Add(r3.Add(r3.Scale(f.offset(k), faces[k].normal), r3.Scale(t, along)), r3.Vec{Z: -u})
		})
		for i, seen := range strips[s] {
			all[s].inner[i], all[s].outer[i] = parted(seen)
		}
	}
	return all
}

// glimpse is a point on a face, or a ray that passed it, and how deep.
type glimpse struct {
	depth float64
	on    bool
}

// parted is the last point and the first ray on the two sides of the depth that
// has the fewest of both on the wrong side; outer is infinite where hardly any
// ray lies below.
func parted(seen []glimpse) (inner, outer float64) {
	sort.Slice(seen, func(a, b int) bool { return seen[a].depth < seen[b].depth })
	wrong, missed := 0, 0 // with the parting above all
	for _, g := range seen {
		if g.on {
			wrong++
		} else {
			missed++
		}
	}
	least, at, left := wrong, 0, missed
	for i, g := range seen {
		if g.on {
			wrong--
		} else {
			wrong++
			missed--
		}
		if wrong < least {
			least, at, left = wrong, i+1, missed
		}
	}
	if at == 0 || left < leastStrips || at == len(seen) {
		return math.Inf(-1), math.Inf(1)
	}
	return seen[at-1].depth, seen[at].depth
}

package distance

import (
	"slices"

	"cellwall/scene/simplex"

	"gonum.org/v1/gonum/spatial/r3"
)

// nearest is the gap of bodies whose cores are apart; apart is false where they
// are not. The nearest point of a growing simplex within the set of all
// differences approaches the one of the set (Gilbert, Johnson and Keerthi, IEEE
// J. Robotics Autom. 4 (1988) 193). Its length is an upper bound of the
// distance, the slab across it a lower one; they end the search, and the lower
// one is the result. On rims that comes slowly, so there the last steps are
// Newton's.
func nearest(a, b Body) (g Gap, apart bool) {
	var s simplex.Simplex
	at := cornerOf(a.support(r3.Vec{X: 1}), b.support(r3.Vec{X: -1}))
	s.Add(at)
	for step := 1; ; step++ {
		d := r3.Norm(at.V)
		if !(d > touching) {
			return Gap{}, false
		}
		n := r3.Scale(1/d, at.V)
		w := cornerOf(a.support(n), b.support(r3.Scale(-1, n)))
		slab := r3.Dot(n, w.V)
		grown, to := s, at
		if done := d-slab <= Exact || step == MostSteps || has(&s, w.V); !done {
			grown.Add(w)
			to = grown.Shrink()
		}
		if r3.Norm(to.V) >= d { // done, or rounding lets no nearer point be had
			g = gapOf(a, b, at.OnA, at.OnB, n, min(d, slab))
			g.Steps = step
			return g, true
		}
		s, at = grown, to
		if g, ok := straight(&s, a, b, r3.Scale(1/r3.Norm(at.V), at.V)); ok {
			g.Steps = step
			return g, true
		}
	}
}

// straight is the gap that follows where the features about the simplex face each
// other; ok where that is proven by its points and its slab.
func straight(s *simplex.Simplex, a, b Body, n r3.Vec) (g Gap, ok bool) {
	if !isRound(a) && !isRound(b) {
		return g, false
	}
	var p, q []r3.Vec
	for _, c := range s.Corners() {
		p, q = append(p, c.OnA), append(q, c.OnB)
	}
	f, h := featureOf(a, p), featureOf(b, q)
	if n, ok = polished(&f, &h, n); !ok {
		return g, false
	}
	var near simplex.Simplex
	for _, p := range f.at(n) {
		for _, q := range h.at(r3.Scale(-1, n)) {
			near.Add(cornerOf(p, q))
		}
	}
	at := near.Shrink()
	slab := r3.Dot(n, b.support(r3.Scale(-1, n))) - r3.Dot(n, a.support(n))
	if r3.Norm(at.V)-slab > Exact || slab <= touching {
		return g, false
	}
	return gapOf(a, b, at.OnA, at.OnB, n, slab), true
}

func isRound(b Body) bool {
	_, ok := b.(*Cylinder)
	return ok
}

func cornerOf(onA, onB r3.Vec) simplex.Corner {
	return simplex.Corner{V: r3.Sub(onB, onA), OnA: onA, OnB: onB}
}

func has(s *simplex.Simplex, v r3.Vec) bool {
	return slices.ContainsFunc(s.Corners(), func(c simplex.Corner) bool { return c.V == v })
}

package distance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// pair is a point of B less a point of A, and both of them.
type pair struct{ v, a, b r3.Vec }

// simplex is up to four pairs.
type simplex struct {
	n    int
	pair [4]pair
}

// nearest is the gap of bodies whose cores are apart; apart is false where they
// are not. The nearest point of a growing simplex within the set of all
// differences approaches the one of the set (Gilbert, Johnson and Keerthi, IEEE
// J. Robotics Autom. 4 (1988) 193). Its length is an upper bound of the
// distance, the slab across it a lower one; they end the search, and the lower
// one is the result. On rims that comes slowly, so there the last steps are
// Newton's.
func nearest(a, b Body) (g Gap, apart bool) {
	var s simplex
	onA, onB := a.support(r3.Vec{X: 1}), b.support(r3.Vec{X: -1})
	s.add(pair{r3.Sub(onB, onA), onA, onB})
	v := s.pair[0].v
	for step := 1; ; step++ {
		d := r3.Norm(v)
		if !(d > touching) {
			return Gap{}, false
		}
		n := r3.Scale(1/d, v)
		p, q := a.support(n), b.support(r3.Scale(-1, n))
		w := pair{r3.Sub(q, p), p, q}
		slab := r3.Dot(n, w.v)
		grown := s
		var toA, toB r3.Vec
		if done := d-slab <= Exact || step == MostSteps || s.has(w.v); !done {
			grown.add(w)
			v, toA, toB = grown.closest()
		}
		if r3.Norm(v) >= d { // done, or rounding lets no nearer point be had
			g = gapOf(a, b, onA, onB, n, min(d, slab))
			g.Steps = step
			return g, true
		}
		s, onA, onB = grown, toA, toB
		if g, ok := s.newton(a, b, r3.Scale(1/r3.Norm(v), v)); ok {
			g.Steps = step
			return g, true
		}
	}
}

// newton is the gap that follows where the features about the simplex face each
// other; ok where that is proven by its points and its slab.
func (s *simplex) newton(a, b Body, n r3.Vec) (g Gap, ok bool) {
	if !isRound(a) && !isRound(b) {
		return g, false
	}
	var p, q []r3.Vec
	for _, x := range s.pair[:s.n] {
		p, q = append(p, x.a), append(q, x.b)
	}
	f, h := featureOf(a, p), featureOf(b, q)
	if n, ok = polished(&f, &h, n); !ok {
		return g, false
	}
	var facing simplex
	for _, p := range f.at(n) {
		for _, q := range h.at(r3.Scale(-1, n)) {
			facing.add(pair{r3.Sub(q, p), p, q})
		}
	}
	v, onA, onB := facing.closest()
	slab := r3.Dot(n, b.support(r3.Scale(-1, n))) - r3.Dot(n, a.support(n))
	if r3.Norm(v)-slab > Exact || slab <= touching {
		return g, false
	}
	return gapOf(a, b, onA, onB, n, slab), true
}

func isRound(b Body) bool {
	_, ok := b.(*Cylinder)
	return ok
}

func (s *simplex) add(p pair) {
	s.pair[s.n] = p
	s.n++
}

func (s *simplex) has(v r3.Vec) bool {
	for _, p := range s.pair[:s.n] {
		if p.v == v {
			return true
		}
	}
	return false
}

// closest is the point of the simplex nearest to the origin, and its points on A
// and B. The simplex shrinks to the corners that it lies between: of the feet of
// the origin on every side, the nearest of those that fall inside their side.
// Corners are sides, too, so there always is one.
func (s *simplex) closest() (v, onA, onB r3.Vec) {
	least := math.Inf(1)
	var best simplex
	var weight [4]float64
	for set := 1; set < 1<<s.n; set++ {
		var side simplex
		for i := range s.n {
			if set>>i&1 == 1 {
				side.add(s.pair[i])
			}
		}
		w, ok := side.weights()
		if !ok {
			continue
		}
		if p := side.mix(&w, func(p *pair) r3.Vec { return p.v }); r3.Norm2(p) < least {
			v, best, weight, least = p, side, w, r3.Norm2(p)
		}
	}
	*s = best
	return v, s.mix(&weight, func(p *pair) r3.Vec { return p.a }), s.mix(&weight, func(p *pair) r3.Vec { return p.b })
}

func (s *simplex) mix(w *[4]float64, of func(*pair) r3.Vec) (sum r3.Vec) {
	for i := range s.n {
		sum = r3.Add(sum, r3.Scale(w[i], of(&s.pair[i])))
	}
	return sum
}

// weights of the corners for the foot of the origin on the side through all of
// them; ok where it lies between them, and the side is not degenerate.
func (s *simplex) weights() (w [4]float64, ok bool) {
	var e [3]r3.Vec
	for i := 1; i < s.n; i++ {
		e[i-1] = r3.Sub(s.pair[i].v, s.pair[0].v)
	}
	o := r3.Scale(-1, s.pair[0].v)
	switch s.n {
	case 2:
		w[1] = r3.Dot(o, e[0]) / r3.Norm2(e[0])
	case 3:
		n := r3.Cross(e[0], e[1])
		w[1] = r3.Dot(r3.Cross(o, e[1]), n) / r3.Norm2(n)
		w[2] = r3.Dot(r3.Cross(e[0], o), n) / r3.Norm2(n)
	case 4:
		det := r3.Dot(e[0], r3.Cross(e[1], e[2]))
		w[1] = r3.Dot(o, r3.Cross(e[1], e[2])) / det
		w[2] = r3.Dot(e[0], r3.Cross(o, e[2])) / det
		w[3] = r3.Dot(e[0], r3.Cross(e[1], o)) / det
	}
	w[0] = 1 - w[1] - w[2] - w[3]
	return w, w[0] >= 0 && w[1] >= 0 && w[2] >= 0 && w[3] >= 0 // not where one is not a number
}

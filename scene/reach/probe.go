package reach

import (
	"cmp"
	"math"
	"slices"

	"cellwall/scene/distance"
)

const (
	// probes is from how many postures the search for a near one starts.
	probes = 400
	// descents is how many of them, the nearest, it goes on from.
	descents = 4
	// firstStep and lastStep, rad, of a descent: the last moves the end of a two
	// metre arm by some millimetres.
	firstStep, lastStep = 0.25, 0.002
)

// link is what results call by one name.
type link struct {
	name   string
	pieces []int
}

// links that a joint moves, from the base outward.
func (c *Checker) links() []link {
	var out []link
	for _, k := range c.moving {
		i := slices.IndexFunc(out, func(l link) bool { return l.name == c.Link(k) })
		if i < 0 {
			i = len(out)
			out = append(out, link{name: c.Link(k)})
		}
		out[i].pieces = append(out[i].pieces, k)
	}
	return out
}

// nearest searches for the posture that comes nearest to the object, and where
// one touches it for one with each link.
func (c *Checker) nearest(name string, bodies []int, l Limits) ObjectReach {
	s := &probe{Checker: c, bodies: bodies, limits: l, links: c.links()}
	s.touches = make([]bool, len(s.links))
	s.best.Least = math.Inf(1)
	for k := range probes {
		q := c.spreadWithin(k, l)
		s.starts = append(s.starts, start{q, s.try(q)})
	}
	s.search(func(by []float64) float64 { return slices.Min(by) })
	out := ObjectReach{Object: name, Clearance: s.best}
	var of []distance.Body
	for _, b := range bodies {
		of = append(of, c.bodies[b])
	}
	if out.Bound = math.Inf(-1); out.Least > 0 {
		out.Bound = min(out.Least, c.bound(c.moving, of, l.Lo, l.Hi))
		return out
	}
	for i, x := range s.links {
		if !s.touches[i] {
			s.search(func(by []float64) float64 { return by[i] })
		}
		switch {
		case s.touches[i]:
			out.Links = append(out.Links, x.name)
		case !c.never(x.pieces, of, l.Lo, l.Hi):
			out.Uncertain = append(out.Uncertain, x.name)
		}
	}
	return out
}

// probe is a search for one object.
type probe struct {
	*Checker
	bodies  []int
	limits  Limits
	links   []link
	starts  []start
	at      posture
	best    Clearance
	touches []bool // by link
}

// start is a posture to search from, and the distances of every link there.
type start struct {
	q  []float64
	by []float64
}

// try gives the distance of every link to the object at q.
func (s *probe) try(q []float64) []float64 {
	s.stand(&s.at, q)
	by := make([]float64, len(s.links))
	for i, l := range s.links {
		by[i] = math.Inf(1)
		for _, k := range l.pieces {
			for _, b := range s.bodies {
				x := pair{piece: k, body: b}
				g := s.gap(&s.at, x)
				by[i] = min(by[i], g.Distance)
				if g.Distance < s.best.Least {
					s.best = Clearance{Least: g.Distance, Gap: g, pair: x, Q: slices.Clone(q), by: s.Checker}
				}
			}
		}
		s.touches[i] = s.touches[i] || by[i] <= 0
	}
	return by
}

// search goes on from the starts of the least score until one is not above zero.
func (s *probe) search(score func(by []float64) float64) {
	slices.SortStableFunc(s.starts, func(a, b start) int { return cmp.Compare(score(a.by), score(b.by)) })
	for _, x := range s.starts[:descents] {
		if s.descend(x.q, score(x.by), score) <= 0 {
			return
		}
	}
}

// descend turns one joint after the other as long as that lessens the score, by
// ever smaller steps, within the limits (a pattern search: Hooke and Jeeves, J.
// ACM 8 (1961) 212). It returns the least score found.
func (s *probe) descend(q []float64, d float64, score func(by []float64) float64) float64 {
	q = slices.Clone(q)
	for step := firstStep; step >= lastStep && d > 0; {
		better := false
		for i := range q {
			for _, turn := range [2]float64{step, -step} {
				was := q[i]
				q[i] = min(max(was+turn, s.limits.Lo[i]), s.limits.Hi[i])
				if e := score(s.try(q)); e < d {
					d, better = e, true
					break
				}
				q[i] = was
			}
		}
		if !better {
			step /= 2
		}
	}
	return d
}

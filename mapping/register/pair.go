package register

import (
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// pair is a patch of the still scan on a patch of a placed one.
type pair struct {
	moving   int32
	to       *patch
	at       r3.Vec  // the moving patch's mean, base
	d        float64 // along the normal of to, mm
	variance float64 // of d by the noise, mm^2
	weight   float64 // 1 down to 0 for what lies off
	surface  int
	normal   r3.Vec // of the surface: steadier than the patch's
}

// widestAside is how far from a patch's mean its plane is taken to hold, of its
// edge: into the neighbour, whose own plane takes over there.
const widestAside = 0.75

// pairs are what the moved scan lies on within reach: for every patch and placed
// scan the nearest that faces as it does. A patch that meets several scans brings
// its own noise into each of its pairs, but only once into all of them together.
func (s *search) pairs(m geom.Pose, reach float64) []pair {
	var out []pair
	best := make([]pair, s.m.scans)
	for i := range s.moving {
		if !s.moving[i].even {
			continue
		}
		clear(best)
		p := s.moving[i].moved(m)
		met := 0
		s.m.around(p.mean, func(q *patch) {
			aside2, d := q.offset(p.mean)
			if !q.even || math.Abs(d) >= reach || aside2 > square(widestAside*s.m.edge) || r3.Dot(q.plane.Normal, p.plane.Normal) < facingClose {
				return
			}
			b := &best[q.scan]
			if b.to == nil {
				met++
			} else if old, was := b.to.offset(p.mean); old+was*was <= aside2+d*d {
				return
			}
			*b = pair{moving: int32(i), to: q, at: p.mean, d: d, variance: q.at(aside2), weight: 1}
		})
		for _, b := range best {
			if b.to != nil {
				b.variance += float64(met) * p.at(0)
				out = append(out, b)
			}
		}
	}
	return out
}

// around calls do for the patches of the cells that lie within half an edge.
func (m *placedMap) around(p r3.Vec, do func(*patch)) {
	corner(p, m.edge, func(c cell) {
		for _, k := range m.lookup[c] {
			do(&m.patches[k])
		}
	})
}

// offset is how far p lies beside the patch's mean, squared, and off its plane.
func (p *patch) offset(at r3.Vec) (aside2, d float64) {
	d = p.plane.Distance(at)
	return math.Max(0, r3.Norm2(r3.Sub(at, p.mean))-d*d), d
}

func square(x float64) float64 { return x * x }

// scaleOf is the deviation of the pairs' distances, from their median size, mm.
func scaleOf(pairs []pair) float64 {
	const toSigma = 1 / 0.6745 // of a normal quantity (Phi^-1(3/4))
	sizes := make([]float64, len(pairs))
	for i := range pairs {
		sizes[i] = math.Abs(pairs[i].d)
	}
	if len(sizes) == 0 {
		return 0
	}
	slices.Sort(sizes)
	return toSigma * sizes[len(sizes)/2]
}

// within keeps the pairs within reach and weighs them by the biweight.
func within(pairs []pair, reach float64) []pair {
	out := pairs[:0]
	for _, p := range pairs {
		if u := p.d / reach; math.Abs(u) < 1 {
			p.weight = square(1 - u*u)
			out = append(out, p)
		}
	}
	return out
}

// plane is a surface that pairs share.
type plane struct {
	seed r3.Vec
	geom.Moments
	fit geom.Plane
}

// take adds a patch, and fits the plane anew where it is wide enough to tell.
func (p *plane) take(q *patch, edge float64) {
	p.Add(q.mean, 1)
	if fit, w := p.Moments.Plane(); w[1] > square(edge) {
		if r3.Dot(fit.Normal, p.seed) < 0 {
			fit = geom.Plane{Normal: r3.Scale(-1, fit.Normal), Offset: -fit.Offset}
		}
		p.fit = fit
	}
}

// surfaces gives every pair the plane that it belongs to, and counts them: patches
// that face alike and lie in line. A pair takes over the plane's normal unless its
// own patch clearly has another, as on a pillar: the noise of the patches' normals
// would feign that they tell of motions along the plane.
func (m *placedMap) surfaces(pairs []pair) int {
	var all []plane
	known := map[*patch]int{}
	for i := range pairs {
		to := pairs[i].to
		k, ok := known[to]
		if !ok {
			k = slices.IndexFunc(all, func(p plane) bool {
				return r3.Dot(p.seed, to.plane.Normal) > facingClose && math.Abs(p.fit.Distance(to.mean)) < m.edge/2
			})
			if k < 0 {
				k = len(all)
				all = append(all, plane{seed: to.plane.Normal, fit: to.plane})
			}
			known[to] = k
			all[k].take(to, m.edge)
		}
		pairs[i].surface = k
	}
	for i := range pairs {
		p := &pairs[i]
		p.normal = all[p.surface].fit.Normal
		if r3.Norm(r3.Sub(p.normal, p.to.plane.Normal)) > trimSigmas*p.to.tilt()+evenTilt {
			p.normal = p.to.plane.Normal
		}
	}
	return len(all)
}

package register

import (
	"cmp"
	"math"
	"slices"

	"cellwall/mapping/cores"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// solution is a motion solved closely.
type solution struct {
	motion geom.Pose
	pairs  []pair
	scale  float64 // robust deviation of the pairs, mm
	stands []stand // of every patch of the map, then of the scan
}

// Solving goes on until a step moves nothing by more than a micrometre, which is
// a hundredth of what any scan tells; pairs are found anew at every step, so that
// a few of them may flip for ever, and a bound is needed.
const (
	solveRounds = 40
	solved      = 1e-3 // mm
	trimSigmas  = 4.0  // beyond it one pair in 16 000 is a true one
	leastScale  = 0.02 // mm: surfaces are no smoother (common practice)
	mostSolved  = 12   // placements that are solved closely
)

// solved are the placements that the starts lead to, best first: those within the
// rough pose's limits, and those beyond them.
func (s *search) solved(starts []start) (within, beyond []solution) {
	cores.Each(len(starts), func(i int) { starts[i] = s.lay(starts[i]) })
	starts = s.apart(starts, s.m.edge/4, mostSolved)
	all := make([]solution, len(starts))
	cores.Each(len(starts), func(i int) { all[i] = s.solve(starts[i].motion) })
	all = slices.DeleteFunc(all, func(a solution) bool { return len(a.pairs) < fewPatches })
	slices.SortStableFunc(all, func(a, b solution) int { return cmp.Compare(len(b.pairs), len(a.pairs)) })
	for _, a := range all {
		if !s.allowed(a.motion) {
			beyond = append(beyond, a)
		} else if !slices.ContainsFunc(within, func(o solution) bool { return s.distance(o.motion, a.motion) < s.m.edge/8 }) {
			within = append(within, a)
		}
	}
	return within, beyond
}

// allowed tells whether the motion lies within what the rough pose may be off.
func (s *search) allowed(m geom.Pose) bool {
	return r3.Norm(r3.Sub(m.Apply(s.eye), s.eye)) <= s.rough.Shift && r3.Norm(m.R.Log()) <= s.rough.Turn
}

// solve finds the robust least-squares motion near m.
func (s *search) solve(m geom.Pose) solution {
	reach := lastReach * s.m.edge
	var out solution
	for range solveRounds {
		pairs := s.pairs(m, reach)
		out = solution{motion: m, scale: math.Max(scaleOf(pairs), leastScale)}
		reach = math.Max(trimSigmas*out.scale, shrink*reach)
		reach = math.Min(reach, lastReach*s.m.edge)
		out.pairs = within(pairs, reach)
		next, ok := s.closer(m, out.pairs, out.scale)
		if !ok {
			return out
		}
		moved := s.distance(m, next)
		m = next
		if moved < solved {
			break
		}
	}
	out.motion = m
	return out
}

// closer is one step on the pairs, each weighed by its own noise and by how all
// of them scatter.
func (s *search) closer(m geom.Pose, pairs []pair, scale float64) (geom.Pose, bool) {
	eye := m.Apply(s.eye)
	var n normal6
	for i := range pairs {
		p := &pairs[i]
		n.add(row(p.to.plane.Normal, p.at, eye, s.lever), -p.d, p.weight/(p.variance+scale*scale))
	}
	x, ok := n.solve(closely)
	return s.shifted(m, x), ok
}

// closely is the damping of the close solution: what no pair tells stays where
// it is, and nothing else is held back.
const closely = 1e-9

// shifted is m followed by the motion x about the eye.
func (s *search) shifted(m geom.Pose, x [6]float64) geom.Pose {
	t, w := r3.Vec{X: x[0], Y: x[1], Z: x[2]}, r3.Scale(1/s.lever, r3.Vec{X: x[3], Y: x[4], Z: x[5]})
	return about(m.Apply(s.eye), t, w).Mul(m)
}

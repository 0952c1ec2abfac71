package register

import (
	"cmp"
	"math"
	"slices"

	"cellwall/mapping/cores"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// search looks for the motions that lay a scan on the map.
type search struct {
	m       *placedMap
	moving  []patch
	samples []patch // of moving, as many of every direction
	eye     r3.Vec
	lever   float64 // rms distance of the samples from the eye, mm
	rough   Rough
	sight   *sight
}

// samplesPerClass bounds the samples that share a direction: a floor shall not
// drown what stands on it.
const samplesPerClass = 24

func newSearch(m *placedMap, moving []patch, eye r3.Vec, rough Rough) *search {
	s := &search{m: m, moving: moving, eye: eye, rough: rough}
	var classes [54][]int
	for i := range moving {
		c := classOf(moving[i].plane.Normal)
		classes[c] = append(classes[c], i)
	}
	for _, of := range classes {
		step := max(1, (len(of)+samplesPerClass-1)/samplesPerClass)
		for i := 0; i < len(of); i += step {
			s.samples = append(s.samples, moving[of[i]])
		}
	}
	for i := range s.samples {
		s.lever += r3.Norm2(r3.Sub(s.samples[i].mean, eye))
	}
	s.lever = math.Sqrt(s.lever / float64(len(s.samples)))
	return s
}

// start is a motion to begin from, and how well it fits there.
type start struct {
	motion geom.Pose
	score  float64
}

// Starts lie on a grid whose steps carry the samples by half of the field's reach
// at most, so that one of them lies within a quarter of it, along each direction,
// of any motion. Where the grid of turns is large, only those are tried at which
// most of the samples face as some patch of the map does.
const (
	mostTurns  = 2000
	mostStarts = 60
)

// starts are the motions within the rough pose's limits that fit best, no two of
// them closer than a step.
func (s *search) starts() []start {
	step := s.m.reach() / 2
	shifts := ball(s.rough.Shift, step)
	turns := s.turns(step / s.lever)
	best := make([][]start, len(turns))
	cores.Each(len(turns), func(i int) {
		turned := make([]patch, len(s.samples))
		m := about(s.eye, r3.Vec{}, turns[i])
		for k := range turned {
			turned[k] = s.samples[k].moved(m)
		}
		for _, t := range shifts {
			best[i] = append(best[i], start{about(s.eye, t, turns[i]), s.score(turned, t)})
		}
	})
	return s.apart(slices.Concat(best...), step, mostStarts)
}

// score is how well the patches fit after a shift: 1 each where they lie on a
// surface that faces as they do, less with the distance from it.
func (s *search) score(turned []patch, shift r3.Vec) (sum float64) {
	reach := s.m.reach()
	for i := range turned {
		if _, d := s.m.nearest(r3.Add(turned[i].mean, shift), turned[i].plane.Normal); math.Abs(d) < reach {
			sum += 1 - math.Abs(d)/reach
		}
	}
	return sum
}

// turns is the grid of rotation vectors.
func (s *search) turns(step float64) []r3.Vec {
	grid := ball(s.rough.Turn, step)
	if len(grid) <= mostTurns {
		return grid
	}
	var known [54]bool
	for i := range s.m.patches {
		known[classOf(s.m.patches[i].plane.Normal)] = true
	}
	type faced struct {
		turn r3.Vec
		n    int
	}
	list := make([]faced, len(grid))
	cores.Each(len(grid), func(i int) {
		r := geom.Exp(grid[i])
		list[i].turn = grid[i]
		for k := range s.samples {
			if known[classOf(r.Apply(s.samples[k].plane.Normal))] {
				list[i].n++
			}
		}
	})
	slices.SortStableFunc(list, func(a, b faced) int { return cmp.Compare(b.n, a.n) })
	grid = grid[:0]
	for _, f := range list[:mostTurns] {
		grid = append(grid, f.turn)
	}
	return grid
}

// apart are the best starts, no two of them within far of each other, mm.
func (s *search) apart(list []start, far float64, most int) []start {
	slices.SortStableFunc(list, func(a, b start) int { return cmp.Compare(b.score, a.score) })
	var out []start
	for _, c := range list {
		if !slices.ContainsFunc(out, func(o start) bool { return s.distance(o.motion, c.motion) < far }) {
			out = append(out, c)
		}
		if len(out) == most {
			break
		}
	}
	return out
}

// distance is the rms distance by which two motions carry the samples apart, mm.
func (s *search) distance(a, b geom.Pose) float64 {
	var sum float64
	for i := range s.samples {
		sum += r3.Norm2(r3.Sub(a.Apply(s.samples[i].mean), b.Apply(s.samples[i].mean)))
	}
	return math.Sqrt(sum / float64(len(s.samples)))
}

// ball is the grid points within radius of the origin, the origin first.
func ball(radius, step float64) []r3.Vec {
	var out []r3.Vec
	n := int(radius / step)
	for x := -n; x <= n; x++ {
		for y := -n; y <= n; y++ {
			for z := -n; z <= n; z++ {
				if v := (r3.Vec{X: float64(x) * step, Y: float64(y) * step, Z: float64(z) * step}); r3.Norm(v) <= radius {
					out = append(out, v)
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b r3.Vec) int { return cmp.Compare(r3.Norm2(a), r3.Norm2(b)) })
	return out
}

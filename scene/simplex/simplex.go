// Package simplex holds the few corners within a convex set between which its
// point nearest to the origin is sought, as Gilbert, Johnson and Keerthi do
// (IEEE J. Robotics Autom. 4 (1988) 193).
package simplex

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Corner is a point V of the set. Where the set is that of all points of a body B
// less those of a body A, V is the point OnB less OnA.
type Corner struct{ V, OnA, OnB r3.Vec }

// Simplex is up to four corners; none at first.
type Simplex struct {
	n      int
	corner [4]Corner
}

// Add adds a corner to at most three.
func (s *Simplex) Add(c Corner) {
	s.corner[s.n] = c
	s.n++
}

// Corners of the simplex. They are the simplex's own.
func (s *Simplex) Corners() []Corner { return s.corner[:s.n] }

// Shrink leaves of the simplex the corners between which its point nearest to
// the origin lies, and gives that point: of the feet of the origin on every side,
// the nearest of those that fall inside their side. Corners are sides, too, so
// there always is one.
func (s *Simplex) Shrink() Corner {
	least := math.Inf(1)
	var best Simplex
	var weight [4]float64
	for set := 1; set < 1<<s.n; set++ {
		var side Simplex
		for i := range s.n {
			if set>>i&1 == 1 {
				side.Add(s.corner[i])
			}
		}
		w, ok := side.weights()
		if !ok {
			continue
		}
		if d := r3.Norm2(side.mix(&w, func(c *Corner) r3.Vec { return c.V })); d < least {
			best, weight, least = side, w, d
		}
	}
	*s = best
	return Corner{
		V:   s.mix(&weight, func(c *Corner) r3.Vec { return c.V }),
		OnA: s.mix(&weight, func(c *Corner) r3.Vec { return c.OnA }),
		OnB: s.mix(&weight, func(c *Corner) r3.Vec { return c.OnB }),
	}
}

func (s *Simplex) mix(w *[4]float64, of func(*Corner) r3.Vec) (sum r3.Vec) {
	for i := range s.n {
		sum = r3.Add(sum, r3.Scale(w[i], of(&s.corner[i])))
	}
	return sum
}

// weights of the corners for the foot of the origin on the side through all of
// them; ok where it lies between them, and the side is not degenerate.
func (s *Simplex) weights() (w [4]float64, ok bool) {
	var e [3]r3.Vec
	for i := 1; i < s.n; i++ {
		e[i-1] = r3.Sub(s.corner[i].V, s.corner[0].V)
	}
	o := r3.Scale(-1, s.corner[0].V)
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

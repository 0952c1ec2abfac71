package register

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// Laying on shrinks its reach from the field's by a third a round, to a quarter
// of a patch, where the close solution takes over: half of a step at first, half
// of what lies between two surfaces of a step in a wall at the end.
const (
	shrink    = 2.0 / 3
	layRounds = 3 // at each reach
	lastReach = 1.0 / 4
	steady    = 1e-3 // share of the information that is added to every direction, so that open ones stay where they are
)

// lay moves a start to where its samples fit, and scores it anew by the samples
// within the last reach.
func (s *search) lay(from start) start {
	m := from.motion
	for reach := s.m.reach(); ; reach *= shrink {
		reach = math.Max(reach, lastReach*s.m.edge)
		for range layRounds {
			m = s.step(m, reach)
		}
		if reach == lastReach*s.m.edge {
			break
		}
	}
	return start{m, s.share(m, lastReach*s.m.edge)}
}

// step is one weighted least-squares step of the samples along the normals of
// what they lie on, with the biweight of Beaton and Tukey, Technometrics 16
// (1974) 147.
func (s *search) step(m geom.Pose, reach float64) geom.Pose {
	eye := m.Apply(s.eye)
	var n normal6
	for i := range s.samples {
		p := s.samples[i].moved(m)
		q, d := s.m.nearest(p.mean, p.plane.Normal)
		if math.Abs(d) >= reach {
			continue
		}
		u := d / reach
		n.add(row(q.plane.Normal, p.mean, eye, s.lever), -d, (1-u*u)*(1-u*u))
	}
	x, ok := n.solve(steady)
	if !ok {
		return m
	}
	t, w := r3.Vec{X: x[0], Y: x[1], Z: x[2]}, r3.Scale(1/s.lever, r3.Vec{X: x[3], Y: x[4], Z: x[5]})
	return about(eye, t, w).Mul(m)
}

// share of the samples lies within reach of a surface.
func (s *search) share(m geom.Pose, reach float64) float64 {
	n := 0
	for i := range s.samples {
		p := s.samples[i].moved(m)
		if _, d := s.m.nearest(p.mean, p.plane.Normal); math.Abs(d) < reach {
			n++
		}
	}
	return float64(n) / float64(len(s.samples))
}

// row is how the distance along n of the point p grows with a shift and with a
// turn about c, the turn in units of 1/lever.
func row(n, p, c r3.Vec, lever float64) [6]float64 {
	w := r3.Scale(1/lever, r3.Cross(r3.Sub(p, c), n))
	return [6]float64{n.X, n.Y, n.Z, w.X, w.Y, w.Z}
}

// normal6 is the normal equations of six unknowns.
type normal6 struct {
	a [6][6]float64
	b [6]float64
}

// add takes in the equation j x = d with a weight.
func (n *normal6) add(j [6]float64, d, weight float64) {
	for r, x := range j {
		n.b[r] += weight * d * x
		for c, y := range j {
			n.a[r][c] += weight * x * y
		}
	}
}

// solve finds x, with the share damp of the mean diagonal added to each
// (Levenberg 1944); ok is false where there is nothing to solve.
func (n *normal6) solve(damp float64) (x [6]float64, ok bool) {
	a := n.matrix()
	trace := mat.Trace(a)
	for i := range 6 {
		a.SetSym(i, i, a.At(i, i)+damp*trace/6)
	}
	var c mat.Cholesky
	v := mat.NewVecDense(6, x[:])
	ok = trace > 0 && c.Factorize(a) && c.SolveVecTo(v, mat.NewVecDense(6, n.b[:])) == nil
	return x, ok
}

func (n *normal6) matrix() *mat.SymDense {
	a := mat.NewSymDense(6, nil)
	for i := range 6 {
		for j := i; j < 6; j++ {
			a.SetSym(i, j, n.a[i][j])
		}
	}
	return a
}

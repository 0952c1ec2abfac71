package touch

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"cellwall/mapping/geom"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// joint is the covariance of all distances: each touch errs alone, touches on one
// surface share what that surface errs by.
func (c *Check) joint() *mat.SymDense {
	v := mat.NewSymDense(len(c.Held), nil)
	for i := range c.Held {
		a := &c.Held[i]
		v.SetSym(i, i, a.MapSigma*a.MapSigma+a.Sigma*a.Sigma)
		for k := range i {
			if b := &c.Held[k]; b.face == a.face {
				v.SetSym(i, k, a.shares(b))
			}
		}
	}
	return v
}

// shares is the covariance of two touches of one surface. A cylinder's is told
// where it was seen from only, so its touches are taken to share all of it.
func (h *Held) shares(other *Held) float64 {
	if h.face.Cylinder != nil {
		return h.MapSigma * other.MapSigma * r3.Dot(h.normal, other.normal)
	}
	return covariance(h.face, h.At, other.At)
}

// together tests all distances at once.
func (c *Check) together() (rigid.Test, error) {
	var chol mat.Cholesky
	if !chol.Factorize(c.joint()) {
		return rigid.Test{}, errors.New("the touches' covariance is not positive definite: give each touch a sigma above 0")
	}
	d := c.distances()
	var w mat.VecDense
	_ = chol.SolveVecTo(&w, d) // a factor exists; what else it says is of conditioning
	return rigid.Test{ChiSquare: mat.Dot(d, &w), Freedom: len(c.Held)}, nil
}

func (c *Check) distances() *mat.VecDense {
	d := mat.NewVecDense(len(c.Held), nil)
	for i := range c.Held {
		d.SetVec(i, c.Held[i].Distance)
	}
	return d
}

// Correction is the rigid motion that takes the map to where it was touched.
type Correction struct {
	rigid.Motion            // touchedFromMapped, base axes
	Test         rigid.Test // of the motion against none
	Needed       bool       // beyond chance at the level
	Misfit       rigid.Test // of what it leaves
	Left         []float64  // of each touch's distance, mm
}

// Degenerate says which motions a set of touches does not determine.
type Degenerate struct{ Open []rigid.Direction }

// Error names the directions.
func (e *Degenerate) Error() string {
	var all []string
	for _, d := range e.Open {
		all = append(all, d.String())
	}
	return fmt.Sprintf("the touches do not determine %s; touch surfaces that face that way, far apart (3-2-1: three on one, two on another, one on a third)",
		strings.Join(all, ", nor "))
}

// rounds of Gauss-Newton: corrections are a few mm over a machine's size, so the
// second is the last that moves anything.
const rounds = 4

// Solve finds the correction by least squares. It fails with a *Degenerate where
// the touches leave a direction open.
func (c *Check) Solve() (*Correction, error) {
	centre, lever := c.spread()
	out := &Correction{Motion: rigid.Motion{Pose: geom.Identity(), About: centre}}
	for range rounds {
		s := &rigid.System{Centre: out.Pose.Apply(centre), Lever: lever, Cov: c.joint()}
		for i := range c.Held {
			h := &c.Held[i]
			n := out.Pose.R.Apply(h.normal)
			back := out.Pose.Inverse().Apply(h.At)
			s.Rows = append(s.Rows, rigid.Row{Shift: n, Turn: r3.Cross(r3.Sub(h.At, s.Centre), n), Group: i})
			s.Lengths = append(s.Lengths, hold(Point{At: back, Radius: h.Radius, Sigma: h.Sigma}, h.face, c.Level).Distance)
		}
		r, err := s.Solve()
		if err != nil {
			return nil, err
		}
		if len(r.Open) > 0 {
			return nil, &Degenerate{Open: r.Open}
		}
		t, w := r3.Vec{X: r.Step[0], Y: r.Step[1], Z: r.Step[2]}, r3.Vec{X: r.Step[3], Y: r.Step[4], Z: r.Step[5]}
		out.Pose = rigid.About(s.Centre, t, w).Mul(out.Pose)
		out.Cov, out.About = r.Cov, out.Pose.Apply(centre)
		out.Misfit, out.Left = r.Misfit, r.Residuals
	}
	shift, turn := out.Shift(centre), out.Pose.R.Log()
	out.Test = rigid.Against([6]float64{shift.X, shift.Y, shift.Z, turn.X, turn.Y, turn.Z}, out.Cov, lever)
	out.Needed = out.Test.Beyond(c.Level)
	return out, nil
}

// leastLever is how far apart touches count at least, mm.
const leastLever = 10

// spread is the touches' middle and their root mean square distance from it.
func (c *Check) spread() (middle r3.Vec, lever float64) {
	n := float64(len(c.Held))
	for i := range c.Held {
		middle = r3.Add(middle, r3.Scale(1/n, c.Held[i].At))
	}
	for i := range c.Held {
		lever += r3.Norm2(r3.Sub(c.Held[i].At, middle)) / n
	}
	return middle, max(leastLever, math.Sqrt(lever))
}

package arm

import (
	"errors"
	"fmt"
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// ErrOutOfReach is what Solve's errors are where no joint angles near bring the
// flange to the pose asked.
var ErrOutOfReach = errors.New("out of reach")

const (
	// solveRounds bounds the steps of Solve. From nearby some five suffice; from
	// anywhere in the reach some thirty do.
	solveRounds = 200
	// restarts is from how many places Solve starts. Of random poses of a
	// six-axis arm, one start in 300 ends in a singular posture.
	restarts = 24
	// justBeside, rad, is how far beside the best posture found every other start
	// lies: a stretched arm that reaches a hair too far sees no way back.
	justBeside = 0.05
	// lever turns an angle into a length, mm per rad, so that both errors can be
	// weighed in one sum: about the length of an arm's links.
	lever = 500
	// solved is the error at which Solve ends, mm, and mm on the lever. A pose
	// some metres away carries a rounding of 1e-12.
	solved = 1e-9
	// widest turn of a step, rad: the linear model holds within it
	widestTurn = 0.4
)

// Solve returns the joint angles (rad) near from that bring the flange to
// baseFromFlange, to within 1e-9 mm, by damped least squares (Levenberg and
// Marquardt; for arms Wampler, IEEE Trans. SMC 16 (1986) 93). Where a singular
// posture stops the search it starts again beside it, and beside from, ever
// further away. It
// does not look at limits: Within does. The error wraps ErrOutOfReach and says
// how near it came.
func (a *Arm) Solve(baseFromFlange geom.Pose, from []float64) ([]float64, error) {
	if len(from) != len(a.Joints) {
		return nil, fmt.Errorf("%d joint angles for an arm of %d joints", len(from), len(a.Joints))
	}
	s := solver{arm: a, target: baseFromFlange}
	best, nearest := from, s.miss(from)
	for try := range restarts {
		start := beside(from, try, math.Pi)
		if try%2 == 1 {
			start = beside(best, try, justBeside)
		}
		q, off, err := s.descend(start)
		switch {
		case err != nil:
			return nil, err
		case r3.Norm(off[0]) <= solved && r3.Norm(off[1]) <= solved:
			return q, nil
		case square(off) < square(nearest):
			best, nearest = q, off
		}
	}
	return nil, fmt.Errorf("%w: the nearest posture found is %.3g mm and %.3g deg away",
		ErrOutOfReach, r3.Norm(nearest[0]), degrees(r3.Norm(nearest[1])/lever))
}

// beside is q for try 0, then points ever further around it, up to width rad,
// which fill the space evenly (the additive recurrence of Roberts' generalised
// golden ratio).
func beside(q []float64, try int, width float64) []float64 {
	golden := 2.0
	for range 40 {
		golden = math.Pow(1+golden, 1/float64(len(q)+1))
	}
	out := append([]float64(nil), q...)
	for i := range out {
		_, at := math.Modf(0.5 + float64(try)*math.Pow(golden, -float64(i+1)))
		out[i] += (2*at - 1) * width * float64(try) / restarts
	}
	return out
}

// descend from q to where no step leads nearer.
func (s *solver) descend(q []float64) ([]float64, [2]r3.Vec, error) {
	off, damping := s.miss(q), 1e-3
	for range solveRounds {
		if r3.Norm(off[0]) <= solved && r3.Norm(off[1]) <= solved {
			break
		}
		next, err := s.step(q, off, damping)
		if err != nil {
			return nil, off, err
		}
		if miss := s.miss(next); square(miss) < square(off) {
			q, off, damping = next, miss, max(damping/5, 1e-20)
		} else if damping *= 4; damping > 1e9 {
			break
		}
	}
	return q, off, nil
}

// solver holds the memory of Solve.
type solver struct {
	arm    *Arm
	target geom.Pose
	frames []geom.Pose
	axes   []Axis
	jac    [][2]r3.Vec
}

// miss is what is left to the target: the way, and the turn on the lever, mm.
func (s *solver) miss(q []float64) [2]r3.Vec {
	s.frames = s.arm.Frames(q, s.frames)
	at := s.frames[len(s.frames)-1]
	return [2]r3.Vec{r3.Sub(s.target.T, at.T), r3.Scale(lever, s.target.R.Mul(at.R.T()).Log())}
}

func square(m [2]r3.Vec) float64 { return r3.Norm2(m[0]) + r3.Norm2(m[1]) }

// step is the d of least |J d - off|^2 + damping * mean of J'J * |d|^2, by
// orthogonal factors: near a singular posture J'J would lose half the digits.
// The mean keeps the damping apart from the arm's size.
func (s *solver) step(q []float64, off [2]r3.Vec, damping float64) ([]float64, error) {
	n := len(q)
	s.frames = s.arm.Frames(q, s.frames)
	s.axes = s.arm.Axes(s.frames, s.axes)
	s.jac = s.arm.jacobian(s.axes, s.frames[n].T, s.jac)
	left, right := mat.NewDense(6+n, n, nil), mat.NewVecDense(6+n, nil)
	mean := 0.0
	for i, c := range s.jac {
		v, w := c[0], r3.Scale(lever, c[1])
		left.SetCol(i, append([]float64{v.X, v.Y, v.Z, w.X, w.Y, w.Z}, make([]float64, n)...))
		mean += (r3.Norm2(v) + r3.Norm2(w)) / float64(n)
	}
	for i, x := range []float64{off[0].X, off[0].Y, off[0].Z, off[1].X, off[1].Y, off[1].Z} {
		right.SetVec(i, x)
	}
	for i := range n {
		left.Set(6+i, i, math.Sqrt(damping*mean))
	}
	var qr mat.QR
	var d mat.VecDense
	qr.Factorize(left)
	if err := qr.SolveVecTo(&d, false, right); err != nil && !errors.As(err, new(mat.Condition)) {
		return nil, err
	}
	widest := mat.Norm(&d, math.Inf(1))
	out := append([]float64(nil), q...)
	for i := range out {
		out[i] += d.AtVec(i) * min(1, widestTurn/widest)
	}
	return out, nil
}

package reach

import (
	"errors"
	"fmt"
	"math"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// way is how a move runs in joint angles: straight between knots, and no point
// of the arm further than slack (mm) from where the move really takes it.
type way struct {
	knots [][]float64
	slack float64
}

const (
	// chordError, mm, is how far the arm may stray from a line between two knots:
	// well under what an arm itself strays (ISO 9283 gives path accuracies of
	// some tenths), so it costs the bound next to nothing.
	chordError = 0.05
	// testSpeed, mm/s, is the reduced speed at which a program is tried first
	// (ISO 10218).
	testSpeed = 250
	// fastestJoint, rad/s, stands for the speed of a joint whose file says none:
	// common practice for the wrists of large and medium arms.
	fastestJoint = 2 * math.Pi
	// shortestChord is the least part of a line between two knots. A line that
	// asks for shorter ones is not one that an arm follows.
	shortestChord = 1e-5
)

// to is the way from the joint angles from to the row; from is nil for the first
// row, where the arm stands. The error says why the arm cannot go it.
func (c *Checker) to(row *Row, from []float64) (way, error) {
	if from == nil {
		q, err := row.Joints, error(nil)
		if q == nil {
			q, err = c.start(row)
		}
		return way{knots: [][]float64{q, q}}, err
	}
	if row.Motion == Joint {
		if row.Joints != nil {
			return way{knots: [][]float64{from, row.Joints}}, nil
		}
		if row.Config != nil {
			q, err := c.nearestChoice(row, from)
			return way{knots: [][]float64{from, q}}, err
		}
		q, err := c.arm.Solve(row.Pose.Mul(c.point.Inverse()), from)
		if err == nil {
			err = c.arm.Within(q)
		}
		return way{knots: [][]float64{from, q}}, err
	}
	target := row.Pose
	if target == nil {
		p := c.arm.Flange(row.Joints).Mul(c.point)
		target = &p
	}
	w, err := c.follow(from, *target)
	if err != nil {
		return w, err
	}
	end := w.knots[len(w.knots)-1]
	if !meets(end, row.Config) {
		return w, fmt.Errorf("the line ends at %s, which does not meet the config %v: the arm cannot change its posture on the way", spelled([][]float64{end}), row.Config)
	}
	if row.Joints != nil {
		for i := range end {
			if math.Abs(end[i]-row.Joints[i]) > 1e-6 {
				return w, fmt.Errorf("the line ends with joint %d at %.6g deg, not at the %.6g deg of the row: the arm cannot change its posture on the way", i+1, end[i]/degrees, row.Joints[i]/degrees)
			}
		}
	}
	return w, nil
}

const degrees = math.Pi / 180

// follow finds knots along the straight line of the tool point from q to target: the
// part to the next knot is halved until the joints' chord strays from the line
// by no more than chordError midway, where it strays most to the leading order;
// twice that is the slack.
func (c *Checker) follow(q []float64, target geom.Pose) (way, error) {
	start := c.arm.Flange(q).Mul(c.point)
	l := line{start: start, end: target, turn: start.R.T().Mul(target.R).Log()}
	w := way{knots: [][]float64{q}, slack: 2 * chordError}
	const widest = 0.125 // of the line
	for at, part := 0.0, widest; at < 1; {
		part = min(part, 1-at)
		next, stray, err := c.chord(&l, q, at, part)
		if err != nil || stray > chordError {
			if part /= 2; part >= shortestChord {
				continue
			}
			if err == nil {
				err = errors.New("a singular posture: the joints would have to jump")
			}
			return w, c.stopped(&l, q, at, err)
		}
		if err := c.keepsUp(&l, q, next, part); err != nil {
			return w, c.stopped(&l, q, at, err)
		}
		q, at = next, at+part
		w.knots = append(w.knots, next)
		if stray < chordError/4 {
			part = min(2*part, widest)
		}
	}
	return w, nil
}

// stopped says why the arm, at q, goes no further than to at on the line: for
// what err says, unless the line leaves the arm's reach. Toward its end joints
// jump and turn too fast as well.
func (c *Checker) stopped(l *line, q []float64, at float64, err error) error {
	const looks = 8 // at the rest of the line
	for i := range looks {
		t := at + (1-at)*float64(i+1)/looks
		if _, far := c.arm.Solve(l.at(t).Mul(c.point.Inverse()), q); errors.Is(far, arm.ErrOutOfReach) {
			return fmt.Errorf("%.1f mm along the line of %.1f mm the pose is %w", t*l.length(), l.length(), far)
		}
	}
	return fmt.Errorf("%.1f mm along the line of %.1f mm: %w", at*l.length(), l.length(), err)
}

// line is a straight way of the tool point, which turns evenly about one axis.
type line struct {
	start, end geom.Pose
	turn       r3.Vec
}

func (l *line) length() float64 { return r3.Norm(r3.Sub(l.end.T, l.start.T)) }

func (l *line) at(t float64) geom.Pose {
	return geom.Pose{
		R: l.start.R.Mul(geom.Exp(r3.Scale(t, l.turn))),
		T: r3.Add(l.start.T, r3.Scale(t, r3.Sub(l.end.T, l.start.T))),
	}
}

// chord solves for the joint angles at the end and the middle of a part of the
// line, and tells how far the arm strays there from the joints' chord.
func (c *Checker) chord(l *line, q []float64, at, part float64) (next []float64, stray float64, err error) {
	if next, err = c.arm.Solve(l.at(at+part).Mul(c.point.Inverse()), q); err != nil {
		return nil, 0, err
	}
	if err := c.arm.Within(next); err != nil {
		return nil, 0, err
	}
	half := make([]float64, len(q))
	for i := range q {
		half[i] = (q[i] + next[i]) / 2
	}
	mid, err := c.arm.Solve(l.at(at+part/2).Mul(c.point.Inverse()), half)
	if err != nil {
		return nil, 0, err
	}
	off := make([]float64, len(q))
	for i := range q {
		off[i] = mid[i] - half[i]
	}
	var p posture
	c.stand(&p, half)
	for _, k := range c.moving {
		stray = max(stray, c.travel(&p, k, 0, c.arm.Turns(off), 1).way)
	}
	return next, stray, nil
}

// keepsUp refuses a part on which a joint would have to turn faster than it can
// while the tool point goes at the reduced speed: near a singular posture.
func (c *Checker) keepsUp(l *line, q, next []float64, part float64) error {
	seconds := part * l.length() / testSpeed
	if seconds == 0 { // it turns in place, as slowly as it may
		return nil
	}
	for i, j := range c.arm.Joints {
		top := j.MaxSpeed
		if top == 0 {
			top = fastestJoint
		}
		if speed := math.Abs(next[i]-q[i]) / seconds; speed > top {
			return fmt.Errorf("a singular posture: at %d mm/s joint %d would turn at %.0f deg/s, and it can do %.0f", testSpeed, i+1, speed/degrees, top/degrees)
		}
	}
	return nil
}

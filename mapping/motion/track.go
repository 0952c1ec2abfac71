// Package motion reads how the robot moved while a scan was taken, and says
// where the flange was at any instant between the first row and the last.
package motion

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/arm"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
)

// Track is the motion during one scan: rows of joint angles, or of poses of the
// flange, in the order of time.
type Track struct {
	file   string
	arm    *arm.Arm    // of a joint motion; nil for a pose stream
	times  []float64   // s, strictly increasing
	joints []float64   // rad, row by row; empty for a pose stream
	poses  []geom.Pose // baseFromFlange; empty for a joint motion
}

// Joints tells whether the rows are joint angles rather than poses.
func (tr *Track) Joints() bool { return tr.arm != nil }

// Arm is the arm whose joints the rows are; nil for a pose stream.
func (tr *Track) Arm() *arm.Arm { return tr.arm }

// Len is the number of rows, at least one.
func (tr *Track) Len() int { return len(tr.times) }

// Span is the time of the first row and of the last, s.
func (tr *Track) Span() (first, last float64) { return tr.times[0], tr.times[len(tr.times)-1] }

// Posture is the joint angles of row i, rad, of a joint motion.
func (tr *Track) Posture(i int) []float64 { return slices.Clone(tr.row(i)) }

// LikeRadians tells whether no joint angle of any row is as large as a full turn
// is in radians: an arm that scans a cell moves by more degrees than that.
func (tr *Track) LikeRadians() bool {
	const turn = 2 * math.Pi * math.Pi / 180 // of degrees, rad
	return tr.Joints() && !slices.ContainsFunc(tr.joints, func(q float64) bool { return math.Abs(q) > turn })
}

// row is the joint angles of row i, rad.
func (tr *Track) row(i int) []float64 {
	n := len(tr.arm.Joints)
	return tr.joints[i*n : (i+1)*n]
}

// clocks are the units in which sensors often count time (common practice).
var clocks = []struct {
	name    string
	seconds float64
}{{"milliseconds", 1e-3}, {"microseconds", 1e-6}, {"nanoseconds", 1e-9}}

// Overlap returns a fault where a scan whose instants run from first to last
// (its stamps less the latency, s) lies wholly outside the motion. points names
// the scan's file.
func (tr *Track) Overlap(points string, first, last float64) error {
	begin, end := tr.Span()
	if first <= end && last >= begin {
		return nil
	}
	remedy := "let both files count seconds on one clock"
	for _, u := range clocks {
		if first*u.seconds <= end && last*u.seconds >= begin {
			remedy = "the stamps look like " + u.name + ": write seconds"
			break
		}
	}
	return &fault.Error{File: points, Where: "t", Remedy: remedy,
		Rule: fmt.Sprintf("the stamps, %.9g s to %.9g s, never meet the motion in %s, %.9g s to %.9g s", first, last, tr.file, begin, end)}
}

// Cursor answers for one goroutine, and fast where the instants asked for
// follow each other.
func (tr *Track) Cursor() *Cursor {
	c := &Cursor{track: tr, at: math.NaN(), ready: -1}
	if tr.Joints() {
		c.q = make([]float64, len(tr.arm.Joints))
	}
	return c
}

// Cursor remembers where in a track the last answer was found.
type Cursor struct {
	track  *Track
	i      int     // the row at or before the last instant
	at     float64 // the last instant
	pose   geom.Pose
	q      []float64   // rad
	frames []geom.Pose // of the arm at q
	ready  int         // the row for which turn holds; -1 for none
	turn   r3.Vec      // rotation vector from pose ready to the next, base axes
}

// At is where the flange was at the instant t (s, the stamp less the latency):
// baseFromFlange and, of a joint motion, the joint angles in rad, which stay
// valid until the next call. Joint angles and positions are interpolated
// linearly, rotations by a constant turn about a fixed axis (Shoemake, SIGGRAPH
// 1985, slerp). ok is false before the first row and after the last.
func (c *Cursor) At(t float64) (baseFromFlange geom.Pose, q []float64, ok bool) {
	if t == c.at {
		return c.pose, c.q, true
	}
	first, last := c.track.Span()
	if !(t >= first && t <= last) { // also NaN
		return geom.Pose{}, nil, false
	}
	c.seek(t)
	c.at = t
	part := 0.0
	if i, times := c.i, c.track.times; i+1 < len(times) {
		part = (t - times[i]) / (times[i+1] - times[i])
	}
	if c.track.Joints() {
		c.moveJoints(part)
	} else {
		c.movePose(part)
	}
	return c.pose, c.q, true
}

// Frames are baseFromFrame of the arm at the instant of the last At that was ok,
// valid until the next: 0 the base, the last one the flange. nil for a pose stream.
func (c *Cursor) Frames() []geom.Pose { return c.frames }

// seek finds the row at or before t, which lies in the span.
func (c *Cursor) seek(t float64) {
	times := c.track.times
	after := func(i int) bool { return i+1 < len(times) && times[i+1] <= t }
	if times[c.i] <= t && !after(c.i) {
		return
	}
	if times[c.i] <= t && !after(c.i+1) {
		c.i++
		return
	}
	i, found := slices.BinarySearch(times, t)
	if !found {
		i--
	}
	c.i = i
}

// moveJoints sets q and pose to the given part of the way from row i to the
// next.
func (c *Cursor) moveJoints(part float64) {
	copy(c.q, c.track.row(c.i))
	if part > 0 {
		for k, to := range c.track.row(c.i + 1) {
			c.q[k] += part * (to - c.q[k])
		}
	}
	c.frames = c.track.arm.Frames(c.q, c.frames)
	c.pose = c.frames[len(c.frames)-1]
}

// movePose sets pose to the given part of the way from row i to the next.
func (c *Cursor) movePose(part float64) {
	from := c.track.poses[c.i]
	c.pose = from
	if part == 0 {
		return
	}
	to := c.track.poses[c.i+1]
	if c.ready != c.i {
		c.turn, c.ready = to.R.Mul(from.R.T()).Log(), c.i
	}
	c.pose.T = r3.Add(from.T, r3.Scale(part, r3.Sub(to.T, from.T)))
	c.pose.R = geom.Exp(r3.Scale(part, c.turn)).Mul(from.R)
}

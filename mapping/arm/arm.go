// Package arm holds the robot: its kinematics by Denavit-Hartenberg rows, or by
// poses between joints, and the volume of its own links, as capsules.
package arm

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Convention says in which order a row's four motions follow each other.
type Convention int

const (
	// Standard is Rz(theta) Tz(d) Tx(a) Rx(alpha): Denavit and Hartenberg 1955,
	// as in most textbooks.
	Standard Convention = iota
	// Modified is Rx(alpha) Tx(a) Rz(theta) Tz(d): Craig, Introduction to
	// Robotics, ch. 3.
	Modified
	// Free is Before, a turn about Axis, After: any pose between two joints, as
	// URDF has it.
	Free
)

// Joint is one row: lengths in mm, angles in radians. Theta is added to the
// joint's angle. MaxSpeed is zero where it is not known.
type Joint struct {
	A, Alpha, D, Theta float64   // Standard and Modified
	Before, After      geom.Pose // Free
	Axis               r3.Vec    // Free; unit, in the frame behind Before
	Min, Max           float64
	MaxSpeed           float64
}

// Coupling adds Factor times the angle of joint Follows to that of Joint, for
// controllers that count a joint from the horizontal. Joints count from 0.
type Coupling struct {
	Joint, Follows int
	Factor         float64
}

// Capsule is all that lies within Radius of the segment From-To, fixed in
// Frame: 0 is the base, n the frame after joint n, the last one the flange.
type Capsule struct {
	Frame    int
	From, To r3.Vec
	Radius   float64
}

// Arm is a serial robot arm.
type Arm struct {
	Name       string
	Convention Convention
	Joints     []Joint
	Couplings  []Coupling
	Capsules   []Capsule
	Tool       *Tool   // what it works with; nil where it holds nothing
	PoseSigma  float64 // declared absolute accuracy, one sigma, mm; 0 where not declared
}

// Volume is what the flange holds: capsules and boxes of the flange's frame.
type Volume struct {
	Capsules []Capsule
	Boxes    []geom.Box
}

// Part is what the tool may carry.
type Part struct {
	Name string
	Volume
}

// Tool is what the flange holds at work, and not while it scanned: its tool point,
// which moves are told of, and its volume.
type Tool struct {
	FlangeFromPoint geom.Pose
	Volume
}

// Frames appends baseFromFrame for frames 0 to n at joint angles q (rad, as the
// controller counts them) to into[:0] and returns it. len(q) must be the number
// of joints.
func (a *Arm) Frames(q []float64, into []geom.Pose) []geom.Pose {
	into = append(into[:0], geom.Identity())
	at := geom.Identity()
	for i := range a.Joints {
		at = at.Mul(a.row(&a.Joints[i], a.angle(i, q)))
		into = append(into, at)
	}
	return into
}

// Flange is baseFromFlange at joint angles q (rad).
func (a *Arm) Flange(q []float64) geom.Pose {
	at := geom.Identity()
	for i := range a.Joints {
		at = at.Mul(a.row(&a.Joints[i], a.angle(i, q)))
	}
	return at
}

// angle is the angle about joint i's own axis, couplings included.
func (a *Arm) angle(i int, q []float64) float64 {
	v := q[i]
	for _, c := range a.Couplings {
		if c.Joint == i {
			v += c.Factor * q[c.Follows]
		}
	}
	return v
}

// row is the motion of joint j turned by q about its own axis. The product of a
// row's four motions is written out: it is worked out anew for every point that
// has a stamp of its own.
func (a *Arm) row(j *Joint, q float64) geom.Pose {
	if a.Convention == Free {
		return j.Before.Mul(geom.Pose{R: geom.Exp(r3.Scale(q, j.Axis))}).Mul(j.After)
	}
	st, ct := math.Sincos(q + j.Theta)
	sa, ca := math.Sincos(j.Alpha)
	if a.Convention == Modified {
		return geom.Pose{
			R: geom.Rot{{ct, -st, 0}, {st * ca, ct * ca, -sa}, {st * sa, ct * sa, ca}},
			T: r3.Vec{X: j.A, Y: -j.D * sa, Z: j.D * ca},
		}
	}
	return geom.Pose{
		R: geom.Rot{{ct, -st * ca, st * sa}, {st, ct * ca, -ct * sa}, {0, sa, ca}},
		T: r3.Vec{X: j.A * ct, Y: j.A * st, Z: j.D},
	}
}

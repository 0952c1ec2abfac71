package geom

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Rot is a rotation matrix, row by row. The zero value is not a rotation; use
// Identity.
type Rot [3][3]float64

// IdentityRot turns nothing.
func IdentityRot() Rot { return Rot{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}} }

// RotFromAxes returns the rotation whose columns are the given unit vectors.
func RotFromAxes(x, y, z r3.Vec) Rot {
	return Rot{{x.X, y.X, z.X}, {x.Y, y.Y, z.Y}, {x.Z, y.Z, z.Z}}
}

// RotFromRPY turns about fixed X by roll, then fixed Y by pitch, then fixed Z
// by yaw: R = Rz(yaw) Ry(pitch) Rx(roll). Angles in radians.
func RotFromRPY(roll, pitch, yaw float64) Rot {
	sr, cr := math.Sincos(roll)
	sp, cp := math.Sincos(pitch)
	sy, cy := math.Sincos(yaw)
	return Rot{
		{cy * cp, cy*sp*sr - sy*cr, cy*sp*cr + sy*sr},
		{sy * cp, sy*sp*sr + cy*cr, sy*sp*cr - cy*sr},
		{-sp, cp * sr, cp * cr},
	}
}

// RotFromQuat normalises the quaternion w, x, y, z and returns its rotation.
// It fails where the length is further from one than the rounding of a file
// with six decimals can explain.
func RotFromQuat(w, x, y, z float64) (Rot, error) {
	n := math.Sqrt(w*w + x*x + y*y + z*z)
	if !(math.Abs(n-1) < 1e-3) { // also catches NaN
		return Rot{}, fmt.Errorf("quaternion (%g, %g, %g, %g) has length %g, not 1", w, x, y, z, n)
	}
	w, x, y, z = w/n, x/n, y/n, z/n
	return Rot{
		{1 - 2*(y*y+z*z), 2 * (x*y - w*z), 2 * (x*z + w*y)},
		{2 * (x*y + w*z), 1 - 2*(x*x+z*z), 2 * (y*z - w*x)},
		{2 * (x*z - w*y), 2 * (y*z + w*x), 1 - 2*(x*x+y*y)},
	}, nil
}

// Exp is the rotation by |w| radians about the axis w (Rodrigues).
func Exp(w r3.Vec) Rot {
	a := r3.Norm(w)
	s, c := 1.0, 0.5 // sin(a)/a and (1-cos(a))/a^2 in the limit
	if a > 1e-8 {
		s, c = math.Sin(a)/a, (1-math.Cos(a))/(a*a)
	}
	return Rot{
		{1 - c*(w.Y*w.Y+w.Z*w.Z), c*w.X*w.Y - s*w.Z, c*w.X*w.Z + s*w.Y},
		{c*w.X*w.Y + s*w.Z, 1 - c*(w.X*w.X+w.Z*w.Z), c*w.Y*w.Z - s*w.X},
		{c*w.X*w.Z - s*w.Y, c*w.Y*w.Z + s*w.X, 1 - c*(w.X*w.X+w.Y*w.Y)},
	}
}

// Log is the rotation vector of r: Exp(r.Log()) equals r. Its length lies in
// [0, pi].
func (r Rot) Log() r3.Vec {
	q := r.Quat()
	v := r3.Vec{X: q[1], Y: q[2], Z: q[3]}
	s := r3.Norm(v)
	if s < 1e-12 {
		return r3.Scale(2, v)
	}
	return r3.Scale(2*math.Atan2(s, q[0])/s, v)
}

// RPY returns the angles of RotFromRPY; at pitch = +-90 degrees, where roll and
// yaw turn about one axis, roll is 0.
func (r Rot) RPY() (roll, pitch, yaw float64) {
	cp := math.Hypot(r[0][0], r[1][0])
	pitch = math.Atan2(-r[2][0], cp)
	if cp < 1e-9 {
		return 0, pitch, math.Atan2(-r[0][1], r[1][1])
	}
	return math.Atan2(r[2][1], r[2][2]), pitch, math.Atan2(r[1][0], r[0][0])
}

// Quat returns w, x, y, z of unit length with w >= 0, from the largest of the
// four for the sake of accuracy (Shepperd, J. Guidance 1 (1978) 223).
func (r Rot) Quat() [4]float64 {
	t := r[0][0] + r[1][1] + r[2][2]
	var q [4]float64
	switch {
	case t >= r[0][0] && t >= r[1][1] && t >= r[2][2]:
		q = [4]float64{1 + t, r[2][1] - r[1][2], r[0][2] - r[2][0], r[1][0] - r[0][1]}
	case r[0][0] >= r[1][1] && r[0][0] >= r[2][2]:
		q = [4]float64{r[2][1] - r[1][2], 1 + 2*r[0][0] - t, r[0][1] + r[1][0], r[0][2] + r[2][0]}
	case r[1][1] >= r[2][2]:
		q = [4]float64{r[0][2] - r[2][0], r[0][1] + r[1][0], 1 + 2*r[1][1] - t, r[1][2] + r[2][1]}
	default:
		q = [4]float64{r[1][0] - r[0][1], r[0][2] + r[2][0], r[1][2] + r[2][1], 1 + 2*r[2][2] - t}
	}
	n := math.Sqrt(q[0]*q[0] + q[1]*q[1] + q[2]*q[2] + q[3]*q[3])
	if q[0] < 0 {
		n = -n
	}
	for i := range q {
		q[i] /= n
	}
	return q
}

// Apply turns v.
func (r Rot) Apply(v r3.Vec) r3.Vec {
	return r3.Vec{
		X: r[0][0]*v.X + r[0][1]*v.Y + r[0][2]*v.Z,
		Y: r[1][0]*v.X + r[1][1]*v.Y + r[1][2]*v.Z,
		Z: r[2][0]*v.X + r[2][1]*v.Y + r[2][2]*v.Z,
	}
}

// Mul is r after s.
func (r Rot) Mul(s Rot) Rot {
	var m Rot
	for i := range 3 {
		for j := range 3 {
			m[i][j] = r[i][0]*s[0][j] + r[i][1]*s[1][j] + r[i][2]*s[2][j]
		}
	}
	return m
}

// T is the transpose, which is the inverse.
func (r Rot) T() Rot {
	return Rot{
		{r[0][0], r[1][0], r[2][0]},
		{r[0][1], r[1][1], r[2][1]},
		{r[0][2], r[1][2], r[2][2]},
	}
}

// Axis returns column i: where the child's axis i points in the parent.
func (r Rot) Axis(i int) r3.Vec { return r3.Vec{X: r[0][i], Y: r[1][i], Z: r[2][i]} }

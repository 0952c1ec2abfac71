package arm

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Axis is a joint's axis of rotation in base: a point on it (mm) and its unit
// direction, about which the joint's angle counts.
type Axis struct{ Point, Along r3.Vec }

// Axes appends the joints' axes at the posture whose frames Frames returned to
// into[:0] and returns it.
func (a *Arm) Axes(frames []geom.Pose, into []Axis) []Axis {
	into = into[:0]
	for i := range a.Joints {
		switch a.Convention {
		case Modified: // the turn comes after the row's own a and alpha
			into = append(into, Axis{frames[i+1].T, frames[i+1].R.Axis(2)})
		case Free:
			at := frames[i].Mul(a.Joints[i].Before)
			into = append(into, Axis{at.T, at.R.Apply(a.Joints[i].Axis)})
		default:
			into = append(into, Axis{frames[i].T, frames[i].R.Axis(2)})
		}
	}
	return into
}

// Turns are the angles about the joints' own axes, couplings included, for joint
// angles q (rad). They are linear in q, so those of a difference are the
// difference of those.
func (a *Arm) Turns(q []float64) []float64 {
	out := make([]float64, len(q))
	for i := range q {
		out[i] = a.angle(i, q)
	}
	return out
}

// jacobian appends for every joint angle the velocity of the flange's origin
// (mm) and the rotation vector (rad) per rad.
func (a *Arm) jacobian(axes []Axis, flange r3.Vec, into [][2]r3.Vec) [][2]r3.Vec {
	into = into[:0]
	for _, x := range axes {
		into = append(into, [2]r3.Vec{r3.Cross(x.Along, r3.Sub(flange, x.Point)), x.Along})
	}
	own := append([][2]r3.Vec(nil), into...)
	for _, c := range a.Couplings {
		for k := range own[c.Joint] {
			into[c.Follows][k] = r3.Add(into[c.Follows][k], r3.Scale(c.Factor, own[c.Joint][k]))
		}
	}
	return into
}

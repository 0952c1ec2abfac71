package moves

import (
	"fmt"
	"math"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
	"cellwall/scene/reach"
)

// CarriedRow is a row of a program after the object that it was taught against
// moved.
type CarriedRow struct {
	Carried
	Row   reach.Row // corrected; as taught where Why says why not
	Joint int       // the joint that turns most, from 0; -1 where the row gives a pose or stays
	By    float64   // and by how much, rad
}

// CarryProgram takes the rows of a program along as Carry takes points: a pose as
// it stands, joints by the nearest joints that hold the tool where it now belongs.
// Rows without an object stay. A row whose new joints are out of the arm's limits,
// or that it cannot reach, is not corrected and says why.
func (c *Comparison) CarryProgram(p *reach.Program, a *arm.Arm, limits Limits) []CarriedRow {
	out := make([]CarriedRow, len(p.Rows))
	for i, r := range p.Rows {
		out[i] = c.carryRow(r, a, limits)
	}
	return out
}

func (c *Comparison) carryRow(r reach.Row, a *arm.Arm, limits Limits) CarriedRow {
	out := CarriedRow{Row: r, Joint: -1}
	taught := Taught{Name: r.Name, Object: r.Object, Line: r.Line}
	if r.Pose != nil {
		taught.Pose = *r.Pose
	} else {
		taught.Pose = a.Flange(r.Joints).Mul(flangeFromTool(a))
	}
	if r.Object == "" {
		out.Carried = Carried{Taught: taught, Pose: taught.Pose}
		return out
	}
	out.Carried = c.carry(taught, limits)
	switch {
	case out.Why != "" || !out.Moved:
	case r.Pose != nil:
		pose := out.Carried.Pose
		out.Row.Pose = &pose
	default:
		out.solve(a)
	}
	return out
}

// solve finds the joints for the corrected pose.
func (r *CarriedRow) solve(a *arm.Arm) {
	q, err := nearby(a, r.Carried.Pose.Mul(flangeFromTool(a).Inverse()), r.Row.Joints)
	if err != nil {
		r.Why, r.ScanNext = err.Error(), "nothing: teach the row anew, in another posture"
		return
	}
	for i := range q {
		if by := math.Abs(q[i] - r.Row.Joints[i]); by > r.By {
			r.Joint, r.By = i, by
		}
	}
	r.Row.Joints = q
}

// flangeFromTool is the tool point on the flange, the flange itself where the arm
// has no tool.
func flangeFromTool(a *arm.Arm) geom.Pose {
	if a.Tool == nil {
		return geom.Identity()
	}
	return a.Tool.FlangeFromPoint
}

// farthestTurn is how far a joint may turn to follow a correction, rad: more is
// another posture, and the way there another way.
const farthestTurn = 45 * degree

// nearby are the joints within the limits, next to the old ones, that bring the
// flange to the pose.
func nearby(a *arm.Arm, want geom.Pose, old []float64) ([]float64, error) {
	q, err := a.Solve(want, old)
	if err != nil {
		return nil, fmt.Errorf("the arm does not reach the corrected place: %w", err)
	}
	if err := a.Within(q); err != nil {
		return nil, fmt.Errorf("the corrected place is out of the arm's limits: %w", err)
	}
	for i := range q {
		if math.Abs(q[i]-old[i]) > farthestTurn {
			return nil, fmt.Errorf("joint %d would turn by %.0f°, into another posture", i+1, math.Abs(q[i]-old[i])/degree)
		}
	}
	return q, nil
}

package reach

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"cellwall/mapping/arm"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// elbow is a planar arm of two links of 500 and 400 mm about Z: every pose of its
// flange within reach has two configurations, elbow to either side, by the law of
// cosines.
func elbow() *arm.Arm {
	return &arm.Arm{Joints: []arm.Joint{{A: 500, Min: -3, Max: 3}, {A: 400, Min: -3, Max: 3}, {Min: -math.Pi, Max: math.Pi}},
		Capsules: []arm.Capsule{{Frame: 2, Radius: 40}}}
}

func TestConfigurationsOfAPlanarArm(t *testing.T) {
	c := mustChecker(t, elbow(), &scene.Scene{})
	pose := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 600}}
	all, err := c.configurations(pose)
	if err != nil || len(all) != 2 {
		t.Fatalf("%v, %v", all, err)
	}
	bent := math.Acos((600*600 - 500*500 - 400*400) / (2 * 500. * 400))
	for _, q := range all {
		if math.Abs(math.Abs(q[1])-bent) > 1e-9 {
			t.Errorf("the elbow at %g, by the law of cosines %g", q[1], bent)
		}
	}
	up := []Condition{{1, true, 0}}
	moves, err := c.Moves(context.Background(), program(Row{Motion: Joint, Pose: &pose, Config: up},
		Row{Motion: Joint, Pose: &pose, Config: []Condition{{1, false, 0}}}))
	if err != nil || moves[0].End[1] < 0 || moves[1].End[1] > 0 {
		t.Fatalf("%+v, %v", moves, err)
	}
	far := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 901}}
	for says, rows := range map[string][]Row{
		"in 2 ways":                 {{Motion: Joint, Pose: &pose}},
		"meets the config [j2>170]": {{Motion: Joint, Pose: &pose, Config: []Condition{{1, true, 170 * degrees}}}},
		"out of reach":              {{Motion: Joint, Pose: &far}},
		"does not meet the config":  {{Motion: Joint, Pose: &pose, Config: up}, {Motion: Line, Pose: &pose, Config: []Condition{{1, false, 0}}}},
	} {
		_, err := c.Moves(context.Background(), program(rows...))
		var f *fault.Error
		if !errors.As(err, &f) || f.Line != len(rows)+1 || !strings.Contains(f.Rule, says) {
			t.Errorf("%v, want %q", err, says)
		}
	}
}

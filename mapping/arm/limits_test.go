package arm_test

import (
	"math"
	"strings"
	"testing"

	"cellwall/mapping/arm"
)

func TestWithinNamesTheJoint(t *testing.T) {
	deg := math.Pi / 180
	a := &arm.Arm{Joints: []arm.Joint{
		{Min: -170 * deg, Max: 170 * deg},
		{Min: math.Inf(-1), Max: math.Inf(1)},
		{Min: -60 * deg, Max: 200 * deg},
	}}
	for _, c := range []struct {
		q    []float64
		want string
	}{
		{[]float64{0, 0, 0}, ""},
		{[]float64{170 * deg, 900, -60 * deg}, ""},
		{[]float64{171 * deg, 0, 0}, "joint 1 at 171 deg"},
		{[]float64{0, 0, -60.01 * deg}, "joint 3 at -60.01 deg"},
		{[]float64{0, 0, math.NaN()}, "joint 3 at NaN deg"},
		{[]float64{0, 0}, "2 joint angles for an arm of 3 joints"},
	} {
		err := a.Within(c.q)
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("Within(%v) = %v, want %q", c.q, err, c.want)
		}
	}
}

package moves

import (
	"math"
	"strings"
	"testing"

	"cellwall/fixtures"
	"cellwall/mapping/geom"
	"cellwall/scene/reach"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

// A row's joints, put through the arm's forward kinematics (held against Orocos
// KDL in mapping/arm), bring the tool to where the old row's place went.
func TestProgramsGoWhereTheirObjectWent(t *testing.T) {
	shop, err := fixtures.Build(fixtures.Demo(1))
	if err != nil {
		t.Fatal(err)
	}
	a := shop.Robot
	by := rigid.About(r3.Vec{X: 1200}, r3.Vec{X: 14, Y: -22}, r3.Vec{Z: .02})
	c := &Comparison{Level: level, Moves: []Move{{Name: "mill", Moved: true, Motion: rigid.Motion{Pose: by}}}}
	pick, pose := []float64{.1, .3, .5, 0, .6, 0}, geom.Pose{R: geom.Exp(r3.Vec{Y: math.Pi}), T: r3.Vec{X: 1100, Z: 300}}
	limit := []float64{.1, .3, .5, 0, .6, a.Joints[5].Max}
	p := &reach.Program{Rows: []reach.Row{
		{Name: "home", Motion: reach.Joint, Joints: make([]float64, 6)},
		{Name: "pick", Motion: reach.Joint, Joints: pick, Object: "mill"},
		{Name: "put", Motion: reach.Line, Pose: &pose, Object: "mill"},
		{Name: "edge", Motion: reach.Joint, Joints: limit, Object: "mill"},
	}}
	got := c.CarryProgram(p, a, Limits{10, 1})
	if got[0].Why != "" || got[0].Row.Joints[0] != 0 {
		t.Errorf("home belongs to no object: %+v", got[0])
	}
	for i, d := range by.Mul(a.Flange(pick)).Minus(a.Flange(got[1].Row.Joints)) {
		if math.Abs(d) > 1e-6 {
			t.Errorf("pick is off by %g in component %d", d, i)
		}
	}
	if d := r3.Norm(r3.Sub(got[2].Row.Pose.T, by.Apply(pose.T))); d > 1e-9 || pose.T != (r3.Vec{X: 1100, Z: 300}) {
		t.Errorf("put is off by %g mm, and was %v", d, pose.T)
	}
	if !got[1].Check() || got[1].Joint < 0 || !(got[1].By > 0) {
		t.Errorf("pick: %+v", got[1])
	}
	// The last joint stands at its limit, and which way the move turns it decides.
	back := &Comparison{Level: level, Moves: []Move{{Name: "mill", Moved: true, Motion: rigid.Motion{Pose: by.Inverse()}}}}
	why := got[3].Why + back.CarryProgram(p, a, Limits{10, 1})[3].Why
	if !strings.Contains(why, "limits") {
		t.Errorf("a joint beyond its limit is taken: %q", why)
	}
}

package reach

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

// A tool that stands out by 250 mm from the mast's ball of 50 mm at 1000 mm turns
// 200 mm of clearance into none: it ends at 1250 + 10, and the face is at 1250.
func TestTheToolComesAlong(t *testing.T) {
	a := mast()
	a.Tool = &arm.Tool{FlangeFromPoint: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 250}},
		Volume: arm.Volume{Capsules: []arm.Capsule{{Frame: 1, To: r3.Vec{X: 250}, Radius: 10}}}}
	c := mustChecker(t, a, &scene.Scene{Objects: []scene.Object{block("block", r3.Vec{X: 1300, Z: 500}, 100)}})
	moves, err := c.Moves(context.Background(), program(turned(-80), turned(80)))
	if err != nil {
		t.Fatal(err)
	}
	if link, _ := moves[1].Scene.Names(); moves[1].Verdict != Hit || link != "tool" {
		t.Errorf("%s by the %s", moves[1].Verdict, link)
	}
	// Where the arm scanned from the tool was not there, so it has seen nothing.
	bare := mustChecker(t, a, &scene.Scene{})
	bare.Been([]float64{0})
	bare.Look(states(t, space.Unseen))
	if m := sweepOf(t, bare, 0, 0); m.Verdict != IntoUnseen || m.Unseen.Link != "tool" {
		t.Errorf("%s: %+v", m.Verdict, m.Unseen)
	}
}

// A row's pose and a line are the tool point's: it ends at the pose and stays on
// the line, which the flange, tilted as it turns, does not.
func TestLinesAreTheToolPoints(t *testing.T) {
	a := sixAxis()
	a.Tool = &arm.Tool{FlangeFromPoint: geom.Pose{R: geom.RotFromRPY(0, 0.4, 0), T: r3.Vec{X: 60, Z: 180}}}
	c := mustChecker(t, a, shop(t, rand.New(rand.NewPCG(1, 1)), 2))
	start := a.Flange(home()).Mul(c.point)
	target := geom.Pose{R: start.R.Mul(geom.RotFromRPY(0.3, 0.2, 0)), T: r3.Add(start.T, r3.Vec{X: 60, Y: 120, Z: 40})}
	w, err := c.to(&Row{Name: "x", Motion: Line, Pose: &target}, home())
	if err != nil {
		t.Fatal(err)
	}
	along := r3.Unit(r3.Sub(target.T, start.T))
	off := func(p r3.Vec, from r3.Vec) float64 { return r3.Norm(r3.Cross(along, r3.Sub(p, from))) }
	flange := 0.0
	for _, q := range w.knots {
		if d := off(a.Flange(q).Mul(c.point).T, start.T); d > 1e-6 {
			t.Errorf("the tool point is %g mm off its line", d)
		}
		flange = max(flange, off(a.Flange(q).T, a.Flange(home()).T))
	}
	if flange < 1 {
		t.Error("the flange went straight, too: the draw shows nothing")
	}
	d := a.Flange(w.knots[len(w.knots)-1]).Mul(c.point).Minus(target)
	if n := math.Hypot(math.Hypot(d[0], d[1]), d[2]); n > 1e-6 {
		t.Errorf("it ends %g mm away", n)
	}
	joint, err := c.to(&Row{Name: "x", Motion: Joint, Pose: &target}, home())
	if err != nil {
		t.Fatal(err)
	}
	if d := r3.Norm(r3.Sub(a.Flange(joint.knots[1]).Mul(c.point).T, target.T)); d > 1e-6 {
		t.Errorf("the joint move ends %g mm away", d)
	}
}

package sight

import (
	"math/rand/v2"
	"testing"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// inside tells whether p lies in the capsule, by the nearest point of its axis.
func inside(c arm.Capsule, p r3.Vec) bool {
	d, e := r3.Sub(c.To, c.From), r3.Sub(p, c.From)
	t := 0.0
	if l := r3.Norm2(d); l > 0 {
		t = min(max(r3.Dot(d, e)/l, 0), 1)
	}
	return r3.Norm(r3.Sub(e, r3.Scale(t, d))) <= c.Radius
}

func TestCapsulesAreFilledRowByRow(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	place := func() r3.Vec {
		return r3.Vec{X: 260*rng.Float64() - 130, Y: 260*rng.Float64() - 170, Z: 260*rng.Float64() - 120}
	}
	for i := range 300 {
		g := small(t)
		c := arm.Capsule{From: place(), To: place(), Radius: 5 + 60*rng.Float64()}
		switch i % 4 {
		case 1:
			c.To = c.From
		case 2:
			c.To.Y, c.To.Z = c.From.Y, c.From.Z // along the rows
		case 3:
			c.To.X = c.From.X // across them
		}
		g.crossed.FillCapsule(g.lattice, c, 0)
		each(g.lattice.N, func(at [3]int) {
			if got, want := g.crossed.Has(at), inside(c, g.lattice.Centre(at)); got != want {
				t.Fatalf("%+v: the cube at %v is filled: %v, want %v", c, g.lattice.Centre(at), got, want)
			}
		})
	}
}

// What the arm filled was clear, as far as whole cubes of it; but the round end
// of its base reaches into what it stands on, and that says nothing.
func TestArmClearsWhereItStood(t *testing.T) {
	robot := &arm.Arm{
		Joints: []arm.Joint{{A: 10, D: 30}},
		Capsules: []arm.Capsule{
			{Frame: 0, From: r3.Vec{Y: -40}, To: r3.Vec{Y: -40, Z: 20}, Radius: 70},
		},
	}
	var body arm.Body
	body = robot.Body([]geom.Pose{geom.Identity(), geom.Identity()}, body)
	g := small(t)
	var s Sweep
	s.Stand(g, &body, 5)
	marked := 0
	each(g.lattice.N, func(c [3]int) {
		if !g.crossed.Has(c) {
			return
		}
		marked++
		for i := range 8 {
			corner := r3.Add(g.lattice.Centre(c), r3.Scale(g.lattice.Edge/2, r3.Vec{X: float64(i&1)*2 - 1, Y: float64(i>>1&1)*2 - 1, Z: float64(i>>2)*2 - 1}))
			if least := robot.Capsules[0]; corner.Z < -1e-9 || !inside(arm.Capsule{From: least.From, To: least.To, Radius: filled*least.Radius - 5}, corner) {
				t.Fatalf("the cube at %v reaches out to %v", g.lattice.Centre(c), corner)
			}
		}
	})
	if marked < 50 {
		t.Errorf("only %d cubes were filled", marked)
	}
	again := small(t)
	if s.Stand(again, &body, 5); again.crossed.Count() > 0 {
		t.Error("the arm was filled in twice at one place")
	}
}

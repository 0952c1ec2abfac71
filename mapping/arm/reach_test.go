package arm

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// No posture within the limits puts any part of the arm outside of its reach.
func TestReachHoldsEveryPosture(t *testing.T) {
	const quarter = math.Pi / 2
	limits := func(a *Arm) *Arm {
		for i := range a.Joints {
			a.Joints[i].Min, a.Joints[i].Max = -2, 2.5
		}
		return a
	}
	capsules := []Capsule{{Frame: 1, To: r3.Vec{Y: 100}, Radius: 120}, {Frame: 3, From: r3.Vec{Z: 300}, To: r3.Vec{X: 50, Z: -20}, Radius: 60}}
	arms := map[string]*Arm{
		"standard": limits(&Arm{Joints: []Joint{{A: 150, Alpha: -quarter, D: 450}, {A: 600}, {A: 100, D: 20, Alpha: quarter}}, Capsules: capsules}),
		"modified": limits(&Arm{Convention: Modified, Joints: []Joint{{D: 450}, {A: 150, Alpha: -quarter}, {A: 600, D: -50}}, Capsules: capsules}),
		"free": limits(&Arm{Convention: Free, Joints: []Joint{
			{Before: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Z: 300}}, After: geom.Identity(), Axis: r3.Vec{Z: 1}},
			{Before: geom.Pose{R: geom.Exp(r3.Vec{X: 1}), T: r3.Vec{X: 80, Z: 200}}, After: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Y: 400}}, Axis: r3.Vec{Y: 1}},
			{Before: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Z: 350}}, After: geom.Identity(), Axis: r3.Vec{X: 1}},
		}, Capsules: capsules}),
	}
	rng := rand.New(rand.NewPCG(1, 2))
	for name, a := range arms {
		reach, closest := a.Reach(), math.Inf(1)
		for range 5000 {
			q := make([]float64, len(a.Joints))
			for i := range q {
				q[i] = a.Joints[i].Min + rng.Float64()*(a.Joints[i].Max-a.Joints[i].Min)
			}
			frames := a.Frames(q, nil)
			for _, c := range a.Capsules {
				for _, end := range [2]r3.Vec{c.From, c.To} {
					depth := math.Inf(-1)
					for _, m := range reach.Centres {
						depth = max(depth, reach.Radius-r3.Norm(r3.Sub(frames[c.Frame].Apply(end), m))-c.Radius)
					}
					closest = min(closest, depth)
				}
			}
		}
		if closest < 0 {
			t.Errorf("%s: a capsule reaches %.1f mm out", name, -closest)
		}
		if closest > 350 {
			t.Errorf("%s: the reach is %.0f mm wider than any posture needs", name, closest)
		}
	}
}

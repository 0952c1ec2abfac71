package reach

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/fit"
	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/distance"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

const degree = math.Pi / 180

// sixAxis is an invented arm of 1.6 m reach with a spherical wrist.
func sixAxis() *arm.Arm {
	row := func(a, alpha, d, lo, hi float64) arm.Joint {
		return arm.Joint{A: a, Alpha: alpha * degree, D: d, Min: lo * degree, Max: hi * degree, MaxSpeed: 200 * degree}
	}
	return &arm.Arm{Name: "six", Convention: arm.Standard,
		Joints: []arm.Joint{row(150, -90, 450, -170, 170), row(600, 0, 0, -150, 60), row(130, -90, 0, -110, 160),
			row(0, 90, 620, -190, 190), row(0, -90, 0, -120, 120), row(0, 0, 110, -350, 350)},
		Capsules: []arm.Capsule{
			{Frame: 0, To: r3.Vec{Z: 300}, Radius: 140},
			{Frame: 1, From: r3.Vec{X: -150}, Radius: 130},
			{Frame: 2, From: r3.Vec{X: -600}, Radius: 95},
			{Frame: 3, From: r3.Vec{X: -130}, Radius: 90},
			{Frame: 4, From: r3.Vec{Y: 620}, Radius: 70},
			{Frame: 6, From: r3.Vec{Z: -40}, To: r3.Vec{Z: 60}, Radius: 60},
		}}
}

// shop is a scene of n solids about the arm, none within 400 mm of its base,
// on a floor.
func shop(t testing.TB, r *rand.Rand, n int) *scene.Scene {
	s := &scene.Scene{Cell: "test"}
	add := func(name string, x solid.Solid) {
		s.Objects = append(s.Objects, scene.Object{Object: fit.Object{Name: name, Kind: fit.Block}, Margin: 20, Solids: []solid.Solid{x}})
	}
	add("floor", solid.Box{Box: geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Z: -25}}, Size: r3.Vec{X: 8000, Y: 8000, Z: 50}}})
	for len(s.Objects) < n {
		add(fmt.Sprintf("thing-%d", len(s.Objects)), thing(t, r))
	}
	return s
}

func thing(t testing.TB, r *rand.Rand) solid.Solid {
	a, far := 2*math.Pi*r.Float64(), 700+1800*r.Float64()
	at := r3.Vec{X: far * math.Cos(a), Y: far * math.Sin(a), Z: 1800 * r.Float64()}
	size := func() float64 { return 20 * math.Pow(15, r.Float64()) }
	pose := geom.Pose{R: geom.Exp(r3.Vec{X: .2 * r.NormFloat64(), Y: .2 * r.NormFloat64(), Z: 3 * r.NormFloat64()}), T: at}
	switch r.IntN(3) {
	case 0:
		return solid.Cylinder{Centre: at, Axis: pose.R.Axis(2), Radius: size() / 2, Height: 2 * size()}
	case 1:
		var points []r3.Vec
		for range 12 {
			points = append(points, pose.Apply(r3.Scale(size(), r3.Vec{X: r.NormFloat64() / 2, Y: r.NormFloat64() / 2, Z: r.NormFloat64() / 2})))
		}
		h, err := solid.NewHull(points)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	return solid.Box{Box: geom.Box{Pose: pose, Size: r3.Vec{X: size(), Y: size(), Z: 2 * size()}}}
}

func mustChecker(t testing.TB, a *arm.Arm, s *scene.Scene) *Checker {
	c, err := NewChecker(a, s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// posed draws joint angles within the limits at which the arm hits nothing, if
// it finds any soon.
func posed(c *Checker, r *rand.Rand) []float64 {
	q := make([]float64, len(c.arm.Joints))
	var p posture
	for range 50 {
		for i, j := range c.arm.Joints {
			q[i] = j.Min + (j.Max-j.Min)*r.Float64()
		}
		c.stand(&p, q)
		if least(c, &p, c.self) > 0 {
			return q
		}
	}
	return q
}

// least distance at a posture: of the pairs, and where there are none, of all
// capsules and bodies.
func least(c *Checker, p *posture, pairs []pair) float64 {
	d := math.Inf(1)
	for _, x := range pairs {
		d = min(d, c.gap(p, x).Distance)
	}
	if pairs == nil {
		for _, k := range c.moving {
			for _, b := range c.bodies {
				d = min(d, distance.Between(p.pieces[k].body, b).Distance)
			}
		}
	}
	return d
}

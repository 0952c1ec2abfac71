package arm_test

import (
	"math"
	"testing"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// row makes a joint from a table's d and a in metres and alpha in degrees.
func row(d, a, alphaDeg float64) arm.Joint {
	return arm.Joint{A: 1000 * a, Alpha: alphaDeg * math.Pi / 180, D: 1000 * d, Min: -2 * math.Pi, Max: 2 * math.Pi}
}

// puma is the Puma 560 by standard rows: petercorke/robotics-toolbox-matlab,
// models/mdl_puma560.m.
func puma() *arm.Arm {
	return &arm.Arm{Name: "puma", Convention: arm.Standard, Joints: []arm.Joint{
		row(0, 0, 90), row(0, .4318, 0), row(.15005, .0203, -90),
		row(.4318, 0, 90), row(0, 0, -90), row(0, 0, 0)}}
}

// pumaModified is the same arm by modified rows: mdl_puma560akb.m of the same.
func pumaModified() *arm.Arm {
	return &arm.Arm{Name: "puma akb", Convention: arm.Modified, Joints: []arm.Joint{
		row(0, 0, 0), row(.2435, 0, -90), row(-.0934, .4318, 0),
		row(.4331, -.0203, 90), row(0, 0, -90), row(0, 0, 90)}}
}

// sevenAxis is the modified table that petercorke/robotics-toolbox-python,
// tests/test_DHRobot.py, holds a seven-axis arm to.
func sevenAxis() *arm.Arm {
	return &arm.Arm{Name: "seven", Convention: arm.Modified, Joints: []arm.Joint{
		row(.333, 0, 0), row(0, 0, -90), row(.316, 0, 90), row(0, .0825, 90),
		row(.384, -.0825, -90), row(0, 0, 90), row(.107, .088, 90)}}
}

func TestFlangeAgainstPublishedPostures(t *testing.T) {
	pi := math.Pi
	turnX := geom.Rot{{1, 0, 0}, {0, -1, 0}, {0, 0, -1}}
	turnY := geom.Rot{{0, 0, 1}, {0, 1, 0}, {-1, 0, 0}}
	for _, c := range []struct {
		name   string
		arm    *arm.Arm
		q      []float64
		p      r3.Vec // m, as published
		digits float64
		rows   [][3]float64 // leading rows of R
		source string
	}{
		{"standard, zero", puma(), make([]float64, 6), r3.Vec{X: .4521, Y: -.15005, Z: .4318}, 5e-6,
			rowsOf(geom.IdentityRot()), "robotics-toolbox-matlab, mdl_puma560.m"},
		{"standard, all half turns", puma(), []float64{pi, pi, pi, pi, pi, pi}, r3.Vec{X: .4115, Y: .15005, Z: .4318}, 5e-6,
			rowsOf(turnX), "numpy product of the same rows"},
		{"standard, reaching", puma(), []float64{0, pi / 4, pi, 0, pi / 4, 0}, r3.Vec{X: .596303, Y: -.15005, Z: -.014354}, 5e-7,
			rowsOf(turnY), "numpy product of the same rows"},
		{"modified, zero", pumaModified(), make([]float64, 6), r3.Vec{X: .4115, Y: .1501, Z: .4331}, 5e-5,
			rowsOf(geom.IdentityRot()), "numpy product of mdl_puma560akb.m"},
		{"seven axes", sevenAxis(), []float64{1, 2, 3, 4, 5, 6, 7}, r3.Vec{X: .08575, Y: .3132, Z: .5321}, 5e-5,
			[][3]float64{{-.5236, .6902, .4994}}, "robotics-toolbox-python, tests/test_DHRobot.py"},
	} {
		got := c.arm.Flange(c.q)
		if d := r3.Norm(r3.Sub(got.T, r3.Scale(1000, c.p))); d > 1000*c.digits*math.Sqrt(3) {
			t.Errorf("%s: flange at %v mm, %s has %v m", c.name, got.T, c.source, c.p)
		}
		for i, want := range c.rows {
			for j := range want {
				if math.Abs(got.R[i][j]-want[j]) > 5e-5 {
					t.Errorf("%s: R[%d][%d] = %.5f, %s has %.5f", c.name, i, j, got.R[i][j], c.source, want[j])
				}
			}
		}
		frames := c.arm.Frames(c.q, nil)
		if len(frames) != len(c.q)+1 || frames[0] != geom.Identity() || frames[len(c.q)] != got {
			t.Errorf("%s: frames do not run from the base to the flange", c.name)
		}
	}
}

func rowsOf(r geom.Rot) [][3]float64 { return r[:] }

// A controller that counts joint 3 from the horizontal shows j3 + j2 where the
// joint itself stands at j3: with the coupling, equal postures are equal.
func TestCouplingCountsFromTheHorizontal(t *testing.T) {
	plain, coupled := puma(), puma()
	coupled.Couplings = []arm.Coupling{{Joint: 2, Follows: 1, Factor: -1}}
	q := []float64{.3, .7, -.4, .2, 1.1, -.6}
	shown := append([]float64{}, q...)
	shown[2] = q[2] + q[1]
	if d := coupled.Flange(shown).Minus(plain.Flange(q)); norm(d) > 1e-9 {
		t.Errorf("coupled arm is off by %v", d)
	}
	if d := coupled.Flange(q).Minus(plain.Flange(q)); norm(d) < 1 {
		t.Error("the coupling changed nothing")
	}
}

func norm(d [6]float64) float64 {
	var s float64
	for _, v := range d {
		s += v * v
	}
	return math.Sqrt(s)
}

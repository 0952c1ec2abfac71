package mount_test

import (
	"errors"
	"testing"

	"cellwall/mapping/geom"
	"cellwall/mapping/mount"

	"gonum.org/v1/gonum/spatial/r3"
)

// shiuAhmad are the two motions of the worked example of Shiu and Ahmad, IEEE
// Trans. Robotics and Automation 5 (1989) 16, as printed to six digits; X is
// Rx(0.2 rad) and (10, 50, 100) mm.
var shiuAhmad = []mount.Move{{
	A: geom.Pose{R: geom.Rot{{-.989992, -.141120, 0}, {.141120, -.989992, 0}, {0, 0, 1}}},
	B: geom.Pose{
		R: geom.Rot{{-.989992, -.138307, .028036}, {.138307, -.911449, .387470}, {-.028036, .387470, .921456}},
		T: r3.Vec{X: -26.9559, Y: -96.1332, Z: 19.4872},
	},
}, {
	A: geom.Pose{
		R: geom.Rot{{.070737, 0, .997495}, {0, 1, 0}, {-.997495, 0, .070737}},
		T: r3.Vec{X: -400, Z: 400},
	},
	B: geom.Pose{
		R: geom.Rot{{.070737, .198172, .977612}, {-.198172, .963323, -.180936}, {-.977612, -.180936, .107415}},
		T: r3.Vec{X: -309.543, Y: 59.0244, Z: 291.177},
	},
}}

func TestHandEyeOfShiuAndAhmad(t *testing.T) {
	x, err := mount.HandEye(shiuAhmad)
	if err != nil {
		t.Fatal(err)
	}
	// Six printed digits: 5e-7 in rotations, times a lever of some 500 mm.
	const turn, shift = 1e-5, 1e-3
	if d := r3.Norm(r3.Sub(x.T, r3.Vec{X: 10, Y: 50, Z: 100})); d > shift {
		t.Errorf("translation %v, %g mm off (10, 50, 100)", x.T, d)
	}
	if w := r3.Sub(x.R.Log(), r3.Vec{X: 0.2}); r3.Norm(w) > turn {
		t.Errorf("rotation vector %v, want (0.2, 0, 0)", x.R.Log())
	}
}

func TestHandEyeRefusesOneAxis(t *testing.T) {
	for name, moves := range map[string][]mount.Move{
		"none": nil, "one": shiuAhmad[:1], "the same twice": {shiuAhmad[1], shiuAhmad[1]},
	} {
		if x, err := mount.HandEye(moves); !errors.Is(err, mount.ErrOneAxis) {
			t.Errorf("%s: %v, error %v, want ErrOneAxis", name, x, err)
		}
	}
}

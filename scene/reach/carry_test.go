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

// The mast carries a box of 100 x 60 x 60 mm whose near face is at its flange: its
// far corners go round at hypot(1100, 30). The block's face lies at 1250, so the
// box passes at 1250 - 1100.45, where a corner points at it; without it the ball
// passes at 200.
func TestThePartComesAlongFromItsRowOn(t *testing.T) {
	c := mustChecker(t, mast(), &scene.Scene{Objects: []scene.Object{block("block", r3.Vec{X: 1300, Z: 500}, 100)}})
	c.Carries([]arm.Part{{Name: "blank", Volume: arm.Volume{Boxes: []geom.Box{{
		Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 50}}, Size: r3.Vec{X: 100, Y: 60, Z: 60}}}}}})
	p := program(turned(-80), turned(80), turned(-80), turned(80))
	p.Rows[1].Carry, p.Rows[2].Carry = "blank", "nothing"
	moves, err := c.Moves(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0, 200, 1250 - math.Hypot(1100, 30), 200} {
		if m := moves[i]; i > 0 && (m.Scene.Bound > want+1e-6 || m.Scene.Least < want-1e-6 || m.Scene.Least > want+closeness) {
			t.Errorf("row %d: least %g, bound %g, want %g", i, m.Scene.Least, m.Scene.Bound, want)
		}
	}
	if link, _ := moves[2].Scene.Names(); link != "part blank" || moves[2].Carry != "blank" || moves[1].Carry != "" || moves[3].Carry != "" {
		t.Errorf("%s, carrying %q", link, moves[2].Carry)
	}
	p.Rows[2].Carry = "bar"
	_, err = c.Moves(context.Background(), p)
	var f *fault.Error
	if !errors.As(err, &f) || f.Line != 4 || f.Where != "carry" || !strings.Contains(f.Remedy, "blank") {
		t.Errorf("an unknown part: %v", err)
	}
}

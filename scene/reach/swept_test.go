package reach

import (
	"context"
	"math"
	"testing"

	"cellwall/scene"
)

// The mast's ball of 50 mm on an arc of 90 deg of 1000 mm: from above a quarter of
// a ring and two half discs; the step, cells and thinning add up to 30 mm.
func TestSweptOutlineOfAMast(t *testing.T) {
	c := mustChecker(t, mast(), &scene.Scene{})
	moves, err := c.Moves(context.Background(), program(turned(0), turned(90)))
	if err != nil {
		t.Fatal(err)
	}
	rings, err := c.Swept(context.Background(), moves, []View{{toX, toY}, {toX, toZ}})
	if err != nil {
		t.Fatal(err)
	}
	plan := func(r float64) float64 { return math.Pi/2*1000*2*r + math.Pi*r*r }
	if a := area(rings[0]); a < plan(50) || a > plan(80) {
		t.Errorf("the plan has %g, want %g to %g", a, plan(50), plan(80))
	}
	front := func(r float64) float64 { return 1000*2*r + math.Pi*r*r }
	if a := area(rings[1]); a < front(50) || a > front(80) {
		t.Errorf("the front has %g, want %g to %g", a, front(50), front(80))
	}
	moves[0].Scene.Q = []float64{0}
	arm := moves[0].Silhouette([]View{{toX, toY}})
	if a := area(arm[0]); a < math.Pi*50*50 || a > math.Pi*70*70 {
		t.Errorf("the arm's outline has %g, the ball %g", a, math.Pi*50*50)
	}
}

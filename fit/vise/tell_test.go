package vise

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestScrewTellsTheMovingJaw: a bar that sticks out of the body behind the
// moving jaw tells which is which, and one on each side tells nothing.
func TestScrewTellsTheMovingJaw(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	bar := r3.Vec{X: 30, Y: 70, Z: 30}
	behindMoving, behindFixed := r3.Vec{Y: 63 + 45 + 30 + 35, Z: -80}, r3.Vec{Y: -45 - 30 - 35, Z: -80}
	look := r3.Vec{Y: 31, Z: -80}
	for name, x := range map[string]struct {
		bars []r3.Vec
		sure bool
	}{
		"behind the moving jaw": {[]r3.Vec{behindMoving, bar}, true},
		"with its crank on":     {[]r3.Vec{behindMoving, bar, r3.Add(behindMoving, r3.Vec{X: 50, Y: -5}), {X: 20, Y: 20, Z: 30}}, true},
		"on both sides":         {[]r3.Vec{behindMoving, bar, behindFixed, bar}, false},
	} {
		b := plain().with(x.bars...)
		sweeps := fourPasses(b)
		for i := range sweeps { // wide enough for what is behind the jaws, too
			sweeps[i].at, sweeps[i].fan = b.truth.pose.Apply(look), 1.3
		}
		want := plainWant
		want.Fixed = ""
		found, refused := Locate(b.scan(sweeps, usual, rand.New(rand.NewPCG(2, 8))), want, benchPlace(b))
		switch {
		case !x.sure && (refused == nil || refused.Candidates != 2):
			t.Errorf("%s: found %d, refused %+v", name, len(found), refused)
		case x.sure && refused != nil:
			t.Errorf("%s: refused %+v", name, *refused)
		case x.sure:
			err, _ := errorsOf(found[0], b)
			if found[0].FixedBy != "evidence" || math.Abs(err[1]) > 2 {
				t.Errorf("%s: by %s, %.1f mm off", name, found[0].FixedBy, err[1])
			}
		}
	}
}

package vise

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestHeightIsStatedWhereSeen: jaws of 45 mm on bodies of several kinds, whose
// ledges and feet lie elsewhere.
func TestHeightIsStatedWhereSeen(t *testing.T) {
	if testing.Short() {
		t.Skip("locates several vises")
	}
	jaws := func() *bench {
		b := jawless()
		b.boxes = b.boxes[1:] // the table only, 60 mm under the jaws
		b.put(r3.Vec{Y: -22.5, Z: -22.5}, r3.Vec{X: 150, Y: 45, Z: 45})
		b.put(r3.Vec{Y: 85.5, Z: -22.5}, r3.Vec{X: 150, Y: 45, Z: 45})
		return b
	}
	foot := []r3.Vec{{Y: 31, Z: -96}, {X: 190, Y: 200, Z: 18}}
	for name, x := range map[string]struct {
		on   *bench
		seen bool
	}{
		"overhanging a body with a foot": {jaws().with(r3.Vec{Y: 31, Z: -75}, r3.Vec{X: 130, Y: 200, Z: 60}).with(foot...), true},
		"flush with the body":            {jaws().with(r3.Vec{Y: 31, Z: -75}, r3.Vec{X: 150, Y: 220, Z: 60}).with(foot...), false},
		"on a wide body":                 {jaws().with(r3.Vec{Y: 31, Z: -75}, r3.Vec{X: 200, Y: 260, Z: 60}), false},
		"with a carriage behind the moving jaw": {jaws().with(r3.Vec{Y: 31, Z: -75}, r3.Vec{X: 130, Y: 200, Z: 60},
			r3.Vec{Y: 128, Z: -32}, r3.Vec{X: 130, Y: 40, Z: 27}).with(foot...), true},
	} {
		found, refused := Locate(x.on.scan(threePasses(x.on), faulty, rand.New(rand.NewPCG(4, 4))), Want{Width: 150, Fixed: "far"}, benchPlace(x.on))
		if refused != nil {
			t.Errorf("%s: refused %+v", name, refused)
			continue
		}
		h := found[0].Height
		switch {
		case (h != nil) != x.seen:
			t.Errorf("%s: height %+v", name, h)
		case h != nil && (math.Abs(h.Value-45) > 3*h.Sigma || h.Sigma > 1):
			t.Errorf("%s: height %+v instead of 45", name, h)
		}
		if z := found[0].Fixed.Size.Z; z < tradeHeight[0] || z > tradeHeight[1] {
			t.Errorf("%s: the fixed jaw reaches %g mm down", name, z)
		}
	}
}

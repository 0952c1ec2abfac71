package drawing

import (
	"testing"

	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r2"
)

func TestClip(t *testing.T) {
	w := r2.NewBox(0, 0, 10, 10)
	for _, c := range []struct {
		a, b   r2.Vec
		wa, wb r2.Vec
		ok     bool
	}{
		{r2.Vec{X: 2, Y: 2}, r2.Vec{X: 8, Y: 3}, r2.Vec{X: 2, Y: 2}, r2.Vec{X: 8, Y: 3}, true},
		{r2.Vec{X: -5, Y: 5}, r2.Vec{X: 15, Y: 5}, r2.Vec{Y: 5}, r2.Vec{X: 10, Y: 5}, true},
		{r2.Vec{X: -5, Y: -5}, r2.Vec{X: 5, Y: 5}, r2.Vec{}, r2.Vec{X: 5, Y: 5}, true},
		{r2.Vec{X: -5, Y: 3}, r2.Vec{X: -1, Y: 3}, r2.Vec{}, r2.Vec{}, false},
		{r2.Vec{X: 3, Y: 12}, r2.Vec{X: 8, Y: 12}, r2.Vec{}, r2.Vec{}, false},
	} {
		a, b, ok := clip(c.a, c.b, w)
		if ok != c.ok || ok && (r2.Norm(r2.Sub(a, c.wa)) > 1e-12 || r2.Norm(r2.Sub(b, c.wb)) > 1e-12) {
			t.Errorf("%v to %v: %v, %v, %v", c.a, c.b, a, b, ok)
		}
	}
}

func TestRank(t *testing.T) {
	v, m := vise(), mill()
	rest := object(scene.Remainder, "remainder", identity)
	for _, c := range []struct {
		o      *scene.Object
		hidden bool
		want   int
	}{{&v, false, viseEdge}, {&v, true, hiddenEdge}, {&m, false, visibleEdge}, {&m, true, hiddenEdge}, {&rest, false, remainderEdge}} {
		if got := rank(c.o, c.hidden); got != c.want {
			t.Errorf("%s, hidden %v: rank %d, want %d", c.o.Name, c.hidden, got, c.want)
		}
	}
}

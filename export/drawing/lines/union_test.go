package lines

import (
	"testing"

	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// The edge of a box at X = 100, Z = 100, and what may stand beside it.
func TestSwallowed(t *testing.T) {
	own := pieces(Body{Solids: []solid.Solid{block(r3.Vec{}, r3.Vec{X: 100, Y: 100, Z: 100})}})[0]
	e := edge{a: r3.Vec{X: 100, Z: 100}, b: r3.Vec{X: 100, Y: 100, Z: 100}, u: r3.Vec{X: 1}, v: r3.Vec{Z: 1}}
	p := r3.Vec{X: 100, Y: 50, Z: 100}
	for _, c := range []struct {
		name   string
		beside solid.Solid
		want   bool
	}{
		{"the face goes on", block(r3.Vec{X: 100}, r3.Vec{X: 200, Y: 100, Z: 100}), true},
		{"a step up", block(r3.Vec{X: 100}, r3.Vec{X: 200, Y: 100, Z: 150}), false},
		{"a step down", block(r3.Vec{X: 100}, r3.Vec{X: 200, Y: 100, Z: 50}), false},
		{"inside of a larger one", block(r3.Vec{X: -10, Z: -10}, r3.Vec{X: 200, Y: 100, Z: 200}), true},
		{"far off", block(r3.Vec{X: 500}, r3.Vec{X: 600, Y: 100, Z: 100}), false},
	} {
		others := pieces(Body{Solids: []solid.Solid{c.beside}})
		if got := swallowed(p, e, own, others); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

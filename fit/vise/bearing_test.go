package vise

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Two vises on one table, turned each its own way: of the one there is an upright
// face in sight below its top's rim, many patches of it, of the other none, and the
// rim of its top alone tells.
func TestEachTopHasItsOwnBearing(t *testing.T) {
	t.Parallel()
	const first, second = 10 * math.Pi / 180, 32 * math.Pi / 180
	v := &view{pitch: 5, up: r3.Vec{Z: 1}, at: map[uint64]int32{}, apart: true}
	put := func(p, normal r3.Vec, lies attitude) {
		key := v.cell(p)
		if _, ok := v.at[packed(key)]; ok {
			return
		}
		v.at[packed(key)] = int32(len(v.patches))
		q := patch{cell: key, normal: normal, lies: lies}
		q.Add(p, 10)
		v.patches = append(v.patches, q)
	}
	top := func(middle r3.Vec, bearing float64, sides bool) {
		s, c := math.Sincos(bearing)
		at := func(x, y, z float64) r3.Vec {
			return r3.Add(middle, r3.Vec{X: c*x - s*y, Y: s*x + c*y, Z: z})
		}
		for x := -62.0; x <= 62; x += 2 {
			for y := -22.0; y <= 22; y += 2 {
				put(at(x, y, 0), r3.Vec{Z: 1}, level)
			}
			for z := -30.0; sides && z < -5; z += 2 {
				put(at(x, 23, z), r3.Vec{X: -s, Y: c}, upright)
			}
		}
	}
	top(r3.Vec{}, first, true)
	top(r3.Vec{X: 300, Y: 40}, second, false)
	layers := v.layers()
	if len(layers) != 1 || len(layers[0].seeds) != 2 {
		t.Fatalf("%d layers, the first of %d tops; want one of two", len(layers), len(layers[0].seeds))
	}
	got := layers[0].bearings(v)
	if len(got) != 2 || !near(first, got[:1]) || !near(second, got[1:]) {
		t.Errorf("the tops lie at %.1f and %.1f degrees; told %.3g rad", 10.0, 32.0, got)
	}
}

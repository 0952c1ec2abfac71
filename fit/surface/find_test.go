package surface

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// shop is a small room: a floor that is not level, two walls, a bench with legs,
// a vise jaw of 45 x 45 x 150 mm on it.
func shop() (w world, names map[string]quad) {
	names = map[string]quad{
		"floor": {r3.Vec{X: -1000, Y: -2500, Z: -20}, r3.Vec{X: 4000, Z: 30}, r3.Vec{Y: 5000, Z: -15}},
		"wall":  {r3.Vec{X: 2400, Y: -2500, Z: -100}, r3.Vec{X: 60, Y: 5000}, r3.Vec{Z: 2500}},
		"side":  {r3.Vec{X: -1000, Y: 2100, Z: -100}, r3.Vec{X: 4000, Y: 40}, r3.Vec{Z: 2500}},
	}
	for _, n := range []string{"floor", "wall", "side"} {
		w.quads = append(w.quads, names[n])
	}
	top := block(r3.Vec{X: 1100, Y: 100, Z: 735}, r3.Vec{X: 800, Y: 1200, Z: 30}, 0.1)
	jaw := block(r3.Vec{X: 1000, Y: 0, Z: 772.5}, r3.Vec{X: 45, Y: 150, Z: 45}, 0.3)
	names["bench top"], names["jaw face"], names["jaw top"], names["jaw end"] = top[3], jaw[1], jaw[3], jaw[2]
	w.quads = append(append(w.quads, top...), jaw...)
	for _, s := range [][2]float64{{-1, -1}, {-1, 1}, {1, -1}, {1, 1}} {
		leg := block(r3.Vec{X: 1100 + s[0]*300, Y: 100 + s[1]*500, Z: 360}, r3.Vec{X: 60, Y: 60, Z: 720}, 0.1)
		w.quads = append(w.quads, leg...)
	}
	return w, names
}

// looksAtShop are two wide sweeps and two close passes over the jaw.
func looksAtShop() []look {
	return []look{
		{r3.Vec{X: 0, Y: -900, Z: 1300}, r3.Vec{X: 0, Y: 900, Z: 1300}, r3.Vec{X: 1, Z: -0.5}, r3.Vec{X: 0.5, Z: 1}, 160, 700, 1.5},
		{r3.Vec{X: 200, Y: -1200, Z: 1500}, r3.Vec{X: 900, Y: -1200, Z: 1500}, r3.Vec{Y: 1, Z: -0.7}, r3.Vec{Y: 0.7, Z: 1}, 160, 700, 1.5},
		{r3.Vec{X: 700, Y: -250, Z: 1050}, r3.Vec{X: 700, Y: 250, Z: 1050}, r3.Vec{X: 1, Z: -0.8}, r3.Vec{X: 0.8, Z: 1}, 160, 500, 1.0},
		{r3.Vec{X: 850, Y: -350, Z: 1050}, r3.Vec{X: 1150, Y: -350, Z: 1050}, r3.Vec{Y: 1, Z: -0.8}, r3.Vec{Y: 0.8, Z: 1}, 160, 500, 1.0},
	}
}

// The bounds are those the map is held to: 0.8 mm and 0.08 degrees.
func TestFindsLargeAndSmallFaces(t *testing.T) {
	w, names := shop()
	got := Find(scanner{atMetre: 0.3, memory: 0.6, pose: 0.2, seed: 1}.scan(w, looksAtShop()...))
	for name, q := range names {
		s := found(got, q)
		if s == nil {
			t.Errorf("%s: not found", name)
			continue
		}
		if mm, deg := off(s, q); mm > 0.8 || deg > 0.08 {
			t.Errorf("%s: off by %.2f mm and %.3f deg", name, mm, deg)
		}
	}
}

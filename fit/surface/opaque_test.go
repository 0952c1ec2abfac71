package surface

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Two swings that graze a floor out to 4 m. Where one ray meets it a hand's
// breadth beyond the last, a third of the points are mixed of both places
// (common practice: laser spots average over what they cover), and lie a
// centimetre off. There is one floor, and nothing above or below it.
func TestGrazedFloorHasNoMats(t *testing.T) {
	floor := quad{r3.Vec{X: -500, Y: -4000}, r3.Vec{X: 5000}, r3.Vec{Y: 8000}}
	for seed := range uint64(3) {
		sc := scanner{atMetre: 0.25, memory: 0.5, pose: 0.15, mixed: 0.3, seed: 40 + seed}
		got := Find(sc.scan(world{quads: []quad{floor}},
			look{r3.Vec{Y: -500, Z: 900}, r3.Vec{Y: 500, Z: 900}, r3.Vec{X: 1, Z: -0.55}, r3.Vec{X: 0.55, Z: 1}, 300, 400, 1.2},
			look{r3.Vec{X: 300, Y: -700, Z: 1100}, r3.Vec{X: 300, Y: 700, Z: 1100}, r3.Vec{X: 1, Z: -0.6}, r3.Vec{X: 0.6, Z: 1}, 300, 400, 1.2}))
		for i, s := range got {
			if mm, _ := off(&s, floor); mm > 2.5 {
				t.Errorf("seed %d: surface %d of %d mm2 and %d points lies %.1f mm off the floor", sc.seed, i, int(s.Area), s.Points, mm)
			}
		}
		// Three sigma for the offset; the turn is held to what the map is.
		if mm, deg := off(&got[0], floor); mm > 3*math.Sqrt(got[0].Cov[0][0]) || deg > 0.08 {
			t.Errorf("seed %d: the floor is off by %.2f mm and %.3f deg, stated %.2f", sc.seed, mm, deg, math.Sqrt(got[0].Cov[0][0]))
		}
	}
}

// A gauge block of 3 mm, 60 x 40 mm, on a plate is a face of its own however small.
func TestSmallPlateIsNotTakenForATail(t *testing.T) {
	base := quad{r3.Vec{X: -300, Y: -300}, r3.Vec{X: 600}, r3.Vec{Y: 600}}
	plate := block(r3.Vec{X: 20, Y: 30, Z: 1.5}, r3.Vec{X: 60, Y: 40, Z: 3}, 0.4)[3]
	sc := scanner{atMetre: 0.3, memory: 0.6, pose: 0.1, seed: 43}
	got := Find(sc.scan(world{quads: []quad{base, plate}}, down(150, 450), down(-150, 450)))
	low, high := found(got, base), found(got, plate)
	if low == nil || high == nil || low == high {
		t.Fatalf("%d surfaces, want two", len(got))
	}
	if gap := r3.Dot(low.Plane.Normal, r3.Sub(high.Centre, low.Centre)); math.Abs(gap-3) > 0.2 {
		t.Errorf("%.2f mm apart, want 3", gap)
	}
}

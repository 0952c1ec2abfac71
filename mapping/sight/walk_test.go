package sight

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/arm"

	"gonum.org/v1/gonum/spatial/r3"
)

// small is a grid of about 20 cubes a side that does not start at zero.
func small(t *testing.T) *Grid {
	t.Helper()
	g, err := New(arm.Reach{Centres: []r3.Vec{{X: 13, Y: -40, Z: 7}}, Radius: 95}, 20, 10)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// inCube is how long the segment a-b runs within a cube grown by slack, by
// clipping it with the three pairs of faces.
func inCube(l Lattice, c [3]int, a, b r3.Vec, slack float64) float64 {
	from, to := 0.0, 1.0
	mid, d := l.Centre(c), r3.Sub(b, a)
	for i := range 3 {
		lo, hi := axis(mid, i)-l.Edge/2-slack, axis(mid, i)+l.Edge/2+slack
		p, v := axis(a, i), axis(d, i)
		if v == 0 {
			if p < lo || p > hi {
				return 0
			}
			continue
		}
		t0, t1 := (lo-p)/v, (hi-p)/v
		from, to = max(from, min(t0, t1)), min(to, max(t0, t1))
	}
	return max(0, to-from) * r3.Norm(d)
}

// Every cube that the segment runs through is marked, but for the one in which
// it ends, and no other; held against clipping cube by cube.
func TestWalkMarksWhatTheSegmentCrosses(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	place := func() r3.Vec {
		return r3.Vec{X: 300*rng.Float64() - 130, Y: 300*rng.Float64() - 190, Z: 300*rng.Float64() - 140}
	}
	for i := range 400 {
		g := small(t)
		a, b := place(), place()
		switch i % 4 { // also along axes, faces and edges of the cubes
		case 1:
			b.X, b.Y = a.X, a.Y
		case 2:
			a.X, b.X = g.lattice.Origin.X+40, g.lattice.Origin.X+40
		case 3:
			a = g.lattice.Centre([3]int{3, 4, 5})
			b = r3.Add(a, r3.Scale(100, r3.Vec{X: 1, Y: -1, Z: 1}))
		}
		g.Walk(a, b)
		marked := 0
		each(g.lattice.N, func(c [3]int) {
			if g.crossed.Has(c) {
				marked++
				if inCube(g.lattice, c, a, b, 1e-6) == 0 {
					t.Fatalf("%v to %v: cube %v is marked and not crossed", a, b, c)
				}
			}
			if !g.crossed.Has(c) && inCube(g.lattice, c, a, b, -1e-6) > 0 && g.lattice.At(b) != c {
				t.Fatalf("%v to %v: cube %v is crossed and not marked", a, b, c)
			}
		})
		if end := g.lattice.At(b); g.lattice.Holds(end) && g.crossed.Has(end) && inCube(g.lattice, end, a, b, -1e-6) > 0 {
			t.Fatalf("%v to %v: the cube in which it ends is marked", a, b)
		}
	}
}

func TestNewRefusesWhatDoesNotFit(t *testing.T) {
	reach := arm.Reach{Centres: []r3.Vec{{}}, Radius: 3000}
	if _, err := New(reach, 2, 1); err == nil {
		t.Error("27 thousand million cubes were accepted")
	}
	if _, err := New(arm.Reach{}, 40, 20); err == nil {
		t.Error("an arm without joints was accepted")
	}
	g, err := New(reach, 40, 20)
	if err != nil {
		t.Fatal(err)
	}
	for i, n := range g.lattice.N {
		if n%2 != 0 || float64(n)*20 < 6000 || axis(g.lattice.Origin, i) > -3000 {
			t.Errorf("axis %d: %d cubes from %g do not hold the reach, or do not pair", i, n, axis(g.lattice.Origin, i))
		}
	}
	if math.Abs(g.lattice.Edge-20) > 0 {
		t.Errorf("cubes of %g mm, want half a voxel", g.lattice.Edge)
	}
}

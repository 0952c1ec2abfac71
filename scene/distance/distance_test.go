package distance

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// wanted accuracy, mm.
const within = 1e-6

// pairs of each two kinds that are drawn; the tests against FCL draw ten times as many.
const pairs = 1000

// A gap proves itself from below: the bodies' reaches along its normal, which
// follow from their definitions, leave that gap between them. Where it is
// positive its two points prove it from above, if they lie in the bodies: no
// distance is greater than that of two points. (Duality of the least distance
// and the widest slab: Boyd and Vandenberghe, Convex Optimization, 8.2.)
func TestGapsProveThemselves(t *testing.T) { proveGaps(t, pairs) }

func proveGaps(t *testing.T, pairs int) {
	r := rand.New(rand.NewPCG(1, 5))
	for i, one := range kinds {
		for _, other := range kinds[i:] {
			var apart, overlapping, most, worst = 0, 0, 0, 0.0
			for range pairs {
				a, b := drawPair(t, r, one, other)
				g := Between(a.Body, b.Body)
				slab := -b.reach(r3.Scale(-1, g.Normal)) - a.reach(g.Normal)
				off := math.Abs(slab - g.Distance)
				if g.Distance > 0 {
					apart++
					off = max(off, a.outside(g.A), b.outside(g.B), math.Abs(r3.Norm(r3.Sub(g.B, g.A))-g.Distance))
				} else {
					overlapping++
				}
				if off = max(off, math.Abs(r3.Norm(g.Normal)-1)); !(off <= within) {
					t.Fatalf("%s and %s: gap %+v is off by %g\n%+v\n%+v", one, other, g, off, a, b)
				}
				worst, most = max(worst, off), max(most, g.Steps)
			}
			t.Logf("%-9s %-9s apart %5d, overlapping %5d, at most %2d steps, worst %.1e mm", one, other, apart, overlapping, most, worst)
			if most > MostSteps || apart < pairs/10 || overlapping < pairs/10 {
				t.Errorf("%s and %s: %d steps, %d apart, %d overlapping", one, other, most, apart, overlapping)
			}
		}
	}
}

// Bodies that have shrunk to points or segments, that touch, that lie in each
// other or are one and the same have a gap, too.
func TestDegenerateBodiesHaveGaps(t *testing.T) {
	up := r3.Vec{Z: 1}
	block := NewBox(geom.Box{Pose: geom.Identity(), Size: r3.Vec{X: 100, Y: 60, Z: 40}})
	bar := NewCylinder(solid.Cylinder{Axis: up, Radius: 30, Height: 200})
	hull, err := solid.NewHull([]r3.Vec{{}, {X: 80}, {Y: 80}, {Z: 80}})
	if err != nil {
		t.Fatal(err)
	}
	rod := Capsule{From: r3.Vec{X: -10}, To: r3.Vec{X: 10}, Radius: 5}
	for _, c := range []struct {
		name string
		a, b Body
		want float64
	}{
		{"one point twice", Sphere(r3.Vec{X: 7}, 0), Sphere(r3.Vec{X: 7}, 0), 0},
		{"a ball in itself", Sphere(r3.Vec{X: 7}, 10), Sphere(r3.Vec{X: 7}, 10), -20},
		{"a point on a segment", Sphere(r3.Vec{X: 3}, 0), rod, -5},
		{"crossing rods", rod, Capsule{From: r3.Vec{Y: -3}, To: r3.Vec{Y: 3}, Radius: 2}, -7},
		{"a rod along itself", rod, rod, -10},
		{"end to end", rod, Capsule{From: r3.Vec{X: 20}, To: r3.Vec{X: 40}, Radius: 5}, 0},
		{"parallel rods", rod, Capsule{From: r3.Vec{X: -10, Y: 12}, To: r3.Vec{X: 10, Y: 12}, Radius: 5}, 2},
		{"a point in the middle of a box", Sphere(r3.Vec{}, 0), block, -20},
		{"a point on a box's side", Sphere(r3.Vec{Z: 20}, 0), block, 0},
		{"a point on a box's corner", Sphere(r3.Vec{X: 50, Y: 30, Z: 20}, 1), block, -1},
		{"a rod along a box's edge", Capsule{From: r3.Vec{X: -90, Y: 30, Z: 20}, To: r3.Vec{X: 90, Y: 30, Z: 20}, Radius: 1}, block, -1},
		{"a box in itself", block, block, -40},
		{"side on side", block, NewBox(geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Z: 40}}, Size: r3.Vec{X: 100, Y: 60, Z: 40}}), 0},
		{"a point on a bar's axis", Sphere(r3.Vec{}, 0), bar, -30},
		{"a rod along a bar's axis", Capsule{From: r3.Vec{Z: -20}, To: r3.Vec{Z: 20}, Radius: 4}, bar, -34},
		{"a bar in itself", bar, bar, -60},
		{"bar on bar", bar, NewCylinder(solid.Cylinder{Centre: r3.Vec{Z: 200}, Axis: up, Radius: 30, Height: 200}), 0},
		{"bar beside bar", bar, NewCylinder(solid.Cylinder{Centre: r3.Vec{X: 61}, Axis: up, Radius: 30, Height: 200}), 1},
		{"a point on a hull's corner", Sphere(r3.Vec{}, 0), Of(hull), 0},
	} {
		for _, g := range [2]Gap{Between(c.a, c.b), Between(c.b, c.a).flipped()} {
			if !(math.Abs(g.Distance-c.want) <= within) || !(math.Abs(r3.Norm(g.Normal)-1) <= within) || g.Steps > MostSteps {
				t.Errorf("%s: %+v, want %g", c.name, g, c.want)
			}
		}
	}
	for _, b := range []Body{rod, block, bar, Of(hull)} {
		if g := Between(Sphere(r3.Vec{X: math.NaN()}, 1), b); !math.IsNaN(g.Distance) {
			t.Errorf("a ball that is nowhere is %g from %T", g.Distance, b)
		}
	}
}

func BenchmarkBetween(b *testing.B) {
	r := rand.New(rand.NewPCG(9, 9))
	for i, one := range kinds {
		for _, other := range kinds[i:] {
			var all [][2]Body
			for range 512 {
				x, y := drawPair(b, r, one, other)
				all = append(all, [2]Body{x.Body, y.Body})
			}
			b.Run(one+" and "+other, func(b *testing.B) {
				for i := range b.N {
					p := &all[i%len(all)]
					Between(p[0], p[1])
				}
			})
		}
	}
}

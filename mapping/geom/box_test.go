package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestBoxContainsItsOwnPointsOnly(t *testing.T) {
	rng := rand.New(rand.NewPCG(19, 19))
	b := Box{Pose: randomPose(rng), Size: r3.Vec{X: 30, Y: 200, Z: 7}}
	for range 2000 {
		q := r3.Vec{X: 30 * (2*rng.Float64() - 1), Y: 200 * (2*rng.Float64() - 1), Z: 7 * (2*rng.Float64() - 1)}
		in := math.Abs(q.X) <= 15 && math.Abs(q.Y) <= 100 && math.Abs(q.Z) <= 3.5
		if b.Contains(b.Pose.Apply(q)) != in {
			t.Fatalf("point %v of the box's own frame: inside is %v", q, in)
		}
		inGrown := math.Abs(q.X) <= 17 && math.Abs(q.Y) <= 102 && math.Abs(q.Z) <= 5.5
		if b.Grown(2).Contains(b.Pose.Apply(q)) != inGrown {
			t.Fatalf("point %v of the box grown by 2: inside is %v", q, inGrown)
		}
	}
	if b.Volume() != 42000 {
		t.Errorf("volume %g, want 42000", b.Volume())
	}
}

func TestCornersFollowTheirBits(t *testing.T) {
	b := Box{Pose: Pose{R: about(r3.Vec{Z: 1}, 90), T: r3.Vec{X: 100}}, Size: r3.Vec{X: 2, Y: 4, Z: 6}}
	c := b.Corners()
	// A quarter turn about Z takes the box's X to base Y and its Y to base -X.
	for i, want := range map[int]r3.Vec{0: {X: 102, Y: -1, Z: -3}, 1: {X: 102, Y: 1, Z: -3}, 2: {X: 98, Y: -1, Z: -3}, 4: {X: 102, Y: -1, Z: 3}, 7: {X: 98, Y: 1, Z: 3}} {
		if r3.Norm(r3.Sub(c[i], want)) > 1e-12 {
			t.Errorf("corner %d at %v, want %v", i, c[i], want)
		}
	}
}

func TestBoundsGrowFromNothing(t *testing.T) {
	b := NoBounds()
	if !b.Empty() {
		t.Error("no bounds are not empty")
	}
	b.Extend(r3.Vec{X: 1, Y: -2, Z: 3})
	if b.Empty() || b.Min != b.Max {
		t.Errorf("bounds of one point are %v", b)
	}
	b.Extend(r3.Vec{X: -1, Y: 5, Z: 3})
	if b.Min != (r3.Vec{X: -1, Y: -2, Z: 3}) || b.Max != (r3.Vec{X: 1, Y: 5, Z: 3}) {
		t.Errorf("bounds are %v", b)
	}
}

// By hand: 3-4-5 off an edge of a box turned by a quarter about Z.
func TestBoxDistance(t *testing.T) {
	b := Box{Pose: Pose{R: Exp(r3.Vec{Z: math.Pi / 2}), T: r3.Vec{X: 10}}, Size: r3.Vec{X: 2, Y: 4, Z: 6}}
	for _, c := range []struct {
		p    r3.Vec
		want float64
	}{{r3.Vec{X: 11, Y: 0.5}, 0}, {r3.Vec{X: 15, Y: 5}, 5}, {r3.Vec{X: 10, Z: -5}, 2}} {
		if got := b.Distance(c.p); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v is %v from the box, want %v", c.p, got, c.want)
		}
	}
}

package reach

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// The mast's ball goes round at 1000 mm: a block of 100 mm at x = 1300 is 200 mm
// away at the nearest, and at y = -1300 too far where joint 1 stops at 0.
func TestWholeReachOfAMast(t *testing.T) {
	c := mustChecker(t, mast(), &scene.Scene{Objects: []scene.Object{block("ahead", r3.Vec{X: 1300, Z: 500}, 100), block("right", r3.Vec{Y: -1040, Z: 500}, 100)}})
	l := c.Limits()
	found, err := c.Whole(context.Background(), l)
	if err != nil {
		t.Fatal(err)
	}
	if found[0].Object != "right" || !found[0].Within() || !slices.Equal(found[0].Links, []string{"flange"}) {
		t.Errorf("%+v", found[0])
	}
	if o := found[1]; o.Within() || o.Bound > 200 || o.Bound < 198 || o.Least < 200 || o.Least > 201 {
		t.Errorf("ahead at least %g, bound %g, want 200", o.Least, o.Bound)
	}
	if err := l.Restrict(1, 0, math.Pi); err != nil {
		t.Fatal(err)
	}
	found, err = c.Whole(context.Background(), l)
	if err != nil {
		t.Fatal(err)
	}
	// From (1000, 0) or (-1000, 0) to the corner at (+-50, -990): Pythagoras, less 50.
	want := math.Hypot(950, 990) - 50
	if i := slices.IndexFunc(found, func(o ObjectReach) bool { return o.Object == "right" }); math.Abs(found[i].Least-want) > 5 || found[i].Bound > want || found[i].Bound < want-3 {
		t.Errorf("right of a mast that turns left: %g, bound %g, want %g", found[i].Least, found[i].Bound, want)
	}
	for _, x := range []struct {
		joint  int
		lo, hi float64
	}{{0, 0, 1}, {2, 0, 1}, {1, 1, 1}, {1, 2, 1}, {1, -1, 1}, {1, math.NaN(), 1}} {
		if err := l.Restrict(x.joint, x.lo, x.hi); err == nil {
			t.Errorf("joint %d was restricted to %g to %g", x.joint, x.lo, x.hi)
		}
	}
}

// A block ahead of the mast, at distance 0 of its circle: joint 1 keeps 20 mm off
// where the ball's centre keeps 70 mm from the face, by the circle.
func TestLimitsKeepTheArmOff(t *testing.T) {
	c := mustChecker(t, mast(), &scene.Scene{Objects: []scene.Object{block("ahead", r3.Vec{X: 1000, Z: 500}, 100)}})
	offs, err := c.KeepOffs("ahead", c.Limits())
	if err != nil || len(offs) != 2 {
		t.Fatalf("%+v, %v", offs, err)
	}
	for _, k := range offs {
		end := k.Hi // the end toward the block
		if k.Lo > -math.Pi {
			end = k.Lo
		}
		// The ball's centre (1000 cos a, 1000 sin a) is 70 mm beyond the face y = 50.
		if want := math.Asin(.120); math.Abs(end) < want || math.Abs(end) > want+0.08 || k.Bound < c.Margin {
			t.Errorf("%+v, want an end at %g", k, want)
		}
	}
	if _, err := c.KeepOffs("nothing", c.Limits()); err == nil {
		t.Error("limits keep the arm off nothing")
	}
}

func BenchmarkWholeReach(b *testing.B) {
	c := mustChecker(b, sixAxis(), shop(b, rand.New(rand.NewPCG(8, 10)), 150))
	for range b.N {
		if _, err := c.Whole(context.Background(), c.Limits()); err != nil {
			b.Fatal(err)
		}
		if _, err := c.Extent(context.Background(), c.Limits()); err != nil {
			b.Fatal(err)
		}
	}
}

// What is bounded to be out of reach is never come nearer to by random postures,
// and a posture that is said to touch does.
func TestWholeReachIsNeverBeaten(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	a := sixAxis()
	c := mustChecker(t, a, shop(t, r, 40))
	begin := time.Now()
	found, err := c.Whole(context.Background(), c.Limits())
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d objects in %v", len(found), time.Since(begin))
	within, apart := 0, 0
	var p posture
	for _, o := range found {
		c.stand(&p, o.Q)
		if g := c.gap(&p, o.pair); g.Distance != o.Least || a.Within(o.Q) != nil {
			t.Errorf("%s: %g at its posture, not %g", o.Object, g.Distance, o.Least)
		}
		switch {
		case o.Within():
			within++
		case o.Bound > 0:
			apart++
		}
	}
	missed := 0
	for n := range 20_000 {
		q := make([]float64, len(a.Joints))
		for i, j := range a.Joints {
			q[i] = j.Min + (j.Max-j.Min)*r.Float64()
		}
		c.stand(&p, q)
		for _, o := range found {
			for _, k := range c.moving {
				if o.Bound <= 0 {
					if name := c.Link(k); n < 2000 && !slices.Contains(o.Links, name) && c.gap(&p, pair{piece: k, body: o.pair.body}).Distance <= 0 {
						if missed++; !slices.Contains(o.Uncertain, name) {
							t.Fatalf("%s is certainly not touched by %s, and is at %v", o.Object, name, q)
						}
					}
					continue
				}
				if g := c.gap(&p, pair{piece: k, body: o.pair.body}); g.Distance < o.Bound {
					t.Fatalf("%s is bounded to %g, and %g away at %v", o.Object, o.Bound, g.Distance, q)
				}
			}
		}
	}
	if missed > 0 {
		t.Errorf("%d random postures touch by a link that the search did not find to", missed)
	}
	if t.Logf("%d within reach, %d certainly not", within, apart); within == 0 || apart == 0 {
		t.Error("the draw shows nothing")
	}
}

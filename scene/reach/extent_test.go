package reach

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"cellwall/scene"
	"cellwall/scene/outline"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

var (
	toX = r3.Vec{X: 1}
	toY = r3.Vec{Y: 1}
	toZ = r3.Vec{Z: 1}
)

func mustExtent(t *testing.T, c *Checker, l Limits) *Extent {
	t.Helper()
	e, err := c.Extent(context.Background(), l)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func area(rings []outline.Ring) float64 {
	sum := 0.0
	for _, r := range rings {
		sum += r.Area()
	}
	return sum
}

// The mast's ball of 50 mm at 1000 mm makes a ring: 1050 mm out, 100 mm high, by
// Pappus of a volume of 2 pi 1000 times pi 50^2; from above a ring of 4 pi 1000 50;
// from the side a bar with round ends. Cells and what is allowed for add some 15 mm
// to its 50. Turned from 0 to 90 deg only, a quarter of it and two half balls.
func TestExtentOfAMast(t *testing.T) {
	c := mustChecker(t, mast(), &scene.Scene{})
	e := mustExtent(t, c, c.Limits())
	s := e.Size()
	if s.Out < 1050 || s.Out > 1075 || s.Low > 450 || s.Low < 425 || s.High < 550 || s.High > 575 {
		t.Errorf("%+v", s)
	}
	within := func(what string, got, radius50, radius70 float64) {
		t.Helper()
		if got < radius50 || got > radius70 {
			t.Errorf("%s is %g, want %g to %g", what, got, radius50, radius70)
		}
	}
	ring := func(r float64) float64 { return 2 * math.Pi * 1000 * math.Pi * r * r }
	within("the volume", s.Volume, ring(50), ring(70))
	within("the plan", area(e.Outline(View{toX, toY})), 4*math.Pi*1000*50, 4*math.Pi*1000*75)
	side := func(r float64) float64 { return 2000*2*r + math.Pi*r*r }
	within("the side", area(e.Outline(View{toX, toZ})), side(50), side(75))
	if m := e.Solid().Volume(); m < ring(50) || m > ring(50+2*voxel*math.Sqrt(3)) {
		t.Errorf("the solid has %g, the ring %g", m, ring(50))
	}
	quarter := mustExtent(t, c, Limits{Lo: []float64{0}, Hi: []float64{math.Pi / 2}})
	plan := func(r float64) float64 { return math.Pi*1000*r + math.Pi*r*r }
	within("a quarter's plan", area(quarter.Outline(View{toX, toY})), plan(50), plan(80))
	within("a quarter's volume", quarter.Size().Volume, ring(50)/4, ring(75)/3.5)
}

// No point of the arm lies outside at any posture within limits, in space or in
// the views; and the extent is not much larger than what random postures reach.
func TestNothingIsOutsideOfTheExtent(t *testing.T) {
	a := sixAxis()
	c := mustChecker(t, a, &scene.Scene{})
	l := c.Limits()
	if err := l.Restrict(1, -40*degrees, 100*degrees); err != nil {
		t.Fatal(err)
	}
	l.Hi[1], l.Lo[2] = l.Lo[1]+60*degrees, l.Hi[2]-60*degrees
	begin := time.Now()
	e := mustExtent(t, c, l)
	t.Logf("%v, %+v", time.Since(begin), e.Size())
	views := map[string]View{"plan": {toX, toY}, "front": {toX, toZ}, "side": {r3.Scale(-1, toY), toZ}}
	rings := map[string][]outline.Ring{}
	for name, v := range views {
		rings[name] = e.Outline(v)
	}
	r := rand.New(rand.NewPCG(4, 2))
	var p posture
	out := 0.0
	inverse := e.baseFromAxis.Inverse()
	for range 3000 {
		q := make([]float64, len(l.Lo))
		for i := range q {
			q[i] = l.Lo[i] + (l.Hi[i]-l.Lo[i])*r.Float64()
		}
		c.stand(&p, q)
		for _, k := range c.moving {
			x := &p.pieces[k]
			dir := r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
			at := r3.Add(x.corners[r.IntN(2)], r3.Scale(x.radius, dir))
			out = max(out, math.Hypot(at.X, at.Y))
			if !e.holds(inverse.Apply(at), 0) {
				t.Fatalf("%v of %s lies outside", at, c.Link(k))
			}
			for name, v := range views {
				if q := (r2.Vec{X: r3.Dot(v.Right, at), Y: r3.Dot(v.Up, at)}); !inRings(rings[name], q) {
					t.Fatalf("%v of %s lies outside of the %s's outline", at, c.Link(k), name)
				}
			}
		}
	}
	if s := e.Size(); s.Out > out+150 {
		t.Errorf("it reaches %g mm out, random postures %g", s.Out, out)
	}
}

// inRings by the number of borders to the right; within a cell of one it is not
// told, for corners are thinned by as much.
func inRings(rings []outline.Ring, p r2.Vec) bool {
	in := false
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			v := r2.Sub(b, a)
			t := min(max(r2.Dot(r2.Sub(p, a), v)/r2.Norm2(v), 0), 1)
			if r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(t, v)))) <= extentCell {
				return true
			}
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
		}
	}
	return in
}

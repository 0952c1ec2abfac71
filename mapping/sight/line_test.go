package sight

import (
	"math"
	"testing"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// fan is rays from the origin round the X axis, 3 mrad apart, as ranges say.
func fan(ranges ...float64) *Line {
	l := &Line{Beside: []geom.Pose{geom.Identity()}}
	for i, r := range ranges {
		s, c := math.Sincos(0.003 * (float64(i) - float64(len(ranges)-1)/2))
		l.Rays = append(l.Rays, Ray{Along: r3.Vec{X: c, Y: s}, Clear: r})
	}
	return l
}

func evenly(n int, r float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = r
	}
	return out
}

// furthest is the greatest X of a crossed cube's middle within the rays' plane.
func furthest(t *testing.T, l *Line) float64 {
	t.Helper()
	g, err := New(arm.Reach{Centres: []r3.Vec{{}}, Radius: 1500}, 20, 10)
	if err != nil {
		t.Fatal(err)
	}
	l.Cross(g)
	far := 0.0
	each([3]int{g.lattice.N[0], g.lattice.N[1], 2}, func(c [3]int) {
		c[2] += g.lattice.N[2]/2 - 1
		if g.crossed.Has(c) {
			far = max(far, g.lattice.Centre(c).X)
		}
	})
	return far
}

func TestRaysCrossUpToTheirReturns(t *testing.T) {
	if far := furthest(t, fan(evenly(60, 1000)...)); far < 980 || far > 1000 {
		t.Errorf("rays of 1000 mm crossed as far as %g", far)
	}
}

// Two false long ranges among true ones reach no further than these.
func TestFalseRangesReachNoFurtherThanTheirNeighbours(t *testing.T) {
	r := evenly(60, 1000)
	r[30], r[40], r[41] = 1400, 1300, 1350
	if far := furthest(t, fan(r...)); far > 1000 {
		t.Errorf("a false range crossed as far as %g", far)
	}
}

// Beside rays that did not come back nothing is crossed, whether the file keeps
// them or leaves them out.
func TestNothingIsCrossedBesideAGap(t *testing.T) {
	kept := fan(evenly(41, 1000)...)
	for i := 16; i < 25; i++ {
		kept.Rays[i] = Ray{}
	}
	left := fan(evenly(41, 1000)...)
	left.Rays = append(left.Rays[:16:16], left.Rays[25:]...)
	for name, l := range map[string]*Line{"kept": kept, "left out": left} {
		l.measure(math.Inf(1))
		for i, limit := range l.limit {
			y := math.Abs(l.Rays[i].Along.Y)
			beside := y < 0.003*(4.5+Vouchers) // of the gap of nine, or within two rays of it
			end := y > 0.003*(20.1-Vouchers)
			if (limit > 0) == (beside || end) {
				t.Errorf("%s: the ray at %.1f steps counts for %g mm", name, y/0.003, limit)
			}
		}
	}
}

// Few rays stand for many, and still leave no cube of their sector out.
func TestBundlesLeaveNoHoles(t *testing.T) {
	g, err := New(arm.Reach{Centres: []r3.Vec{{}}, Radius: 1500}, 20, 10)
	if err != nil {
		t.Fatal(err)
	}
	fan(evenly(400, 1200)...).Cross(g)
	for x := 300.0; x < 1150; x += 5 {
		for a := -0.55; a < 0.55; a += 0.004 {
			c := g.lattice.At(r3.Vec{X: x * math.Cos(a), Y: x * math.Sin(a)})
			if !g.crossed.Has(c) {
				t.Fatalf("the cube at %.0f mm and %.3f rad was left out", x, a)
			}
		}
	}
}

func BenchmarkCross(b *testing.B) {
	g, err := New(arm.Reach{Centres: []r3.Vec{{}}, Radius: 2000}, 20, 10)
	if err != nil {
		b.Fatal(err)
	}
	l := fan(evenly(500, 1800)...)
	for b.Loop() {
		l.Cross(g)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(l.Rays)), "ns/ray")
}

// A ray whose end lies within a cube's width of a missing one's way counts for
// nothing; one that is two rays further off counts.
func TestRaysKeepACubesWidthOffAGap(t *testing.T) {
	const width = 20.0
	for _, r := range []float64{500, 1500} {
		l := fan(evenly(101, r)...)
		l.Rays[50] = Ray{}
		l.shun(l.measure(math.Inf(1)), width)
		apart := 0.003 * r // mm between rays at their ends
		for i := Vouchers; i < 101-Vouchers; i++ {
			off := math.Abs(float64(i)-50) * apart
			if off < width && l.limit[i] > 0 || off > width+2*apart && off > (Vouchers+1)*apart && l.limit[i] == 0 {
				t.Errorf("range %g: the ray %.1f mm off the gap counts for %g mm", r, off, l.limit[i])
			}
		}
	}
}

package sight

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Where the lines beside a ray run within the gap, held against steps along it.
func TestRaysCountWhereTheLinesBesideRunClose(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	draw := func(by float64) r3.Vec {
		return r3.Vec{X: by * rng.NormFloat64(), Y: by * rng.NormFloat64(), Z: by * rng.NormFloat64()}
	}
	inside, outside := 0, 0
	for range 300 {
		r := Ray{Eye: draw(500), Along: r3.Unit(draw(1))}
		var beside []geom.Pose
		for range 2 {
			turn := geom.Exp(draw(0.008))
			beside = append(beside, geom.Pose{R: turn, T: r3.Add(r3.Sub(r.Eye, turn.Apply(r.Eye)), draw(6))})
		}
		first, last := r.within(15, beside)
		for s := 0.0; s < 3000; s += 50 {
			far := 0.0
			for _, m := range beside {
				d := r3.Sub(r3.Add(m.Apply(r.Eye), r3.Scale(s, m.R.Apply(r.Along))), r3.Add(r.Eye, r3.Scale(s, r.Along)))
				far = max(far, r3.Norm(r3.Cross(d, r.Along)))
			}
			if within := s >= first && s <= last; within != (far <= 15) && math.Abs(far-15) > 1e-6 {
				t.Fatalf("%g mm from the eye the lines run %g mm off; counts from %g to %g", s, far, first, last)
			} else if within {
				inside++
			} else {
				outside++
			}
		}
	}
	if inside < 1000 || outside < 1000 {
		t.Errorf("%d places within the gap and %d beyond: the draw shows too little", inside, outside)
	}
}

// What no ray of a whole swing meets is not called clear, however it lies: balls
// as thick as what the grid must not hide, and bars as thick as its gap. Called
// clear is the middle of 27 crossed cubes, see space.Of.
func TestNothingHidesBetweenRaysThatCount(t *testing.T) {
	const profiles, obstacle = 1100, 15.0
	g, err := New(arm.Reach{Centres: []r3.Vec{{Z: 600}}, Radius: 2100}, 40, GapOf(obstacle))
	if err != nil {
		t.Fatal(err)
	}
	carve(g, profiles)
	clear := g.crossed.Shrunk(1)
	lines := make([]Line, profiles)
	for i := range lines {
		swing(i, profiles, &lines[i])
	}
	rng := rand.New(rand.NewPCG(8, 2))
	told, hidden := 0, 0
	for k := range 1500 {
		mid := r3.Vec{X: 4000*rng.Float64() - 2000, Y: 4000*rng.Float64() - 2000, Z: 2400*rng.Float64() - 600}
		along := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		half, radius := 0.0, obstacle/2
		if k%2 == 1 {
			half, radius = 100, GapOf(obstacle)/2
		}
		is := clear.Has(g.lattice.At(mid))
		met := meets(lines, r3.Sub(mid, r3.Scale(half, along)), r3.Add(mid, r3.Scale(half, along)), radius)
		switch {
		case is && !met:
			t.Errorf("at %.0f, %.0f mm long along %.2f, one %.1f mm thick hides in clear space", mid, 2*half, along, 2*radius)
		case is:
			told++
		case !met:
			hidden++
		}
	}
	if told < 100 || hidden < 50 {
		t.Errorf("%d stand in clear space, and %d are met by no ray: the draw shows too little", told, hidden)
	}
}

// meets tells whether a ray of the lines passes within radius of the segment a-b.
func meets(lines []Line, a, b r3.Vec, radius float64) bool {
	for i := range lines {
		eye := lines[i].Rays[0].Eye
		across := r3.Unit(r3.Cross(lines[i].Rays[0].Along, lines[i].Rays[swingRays-1].Along))
		p, q := r3.Dot(r3.Sub(a, eye), across), r3.Dot(r3.Sub(b, eye), across)
		if min(p, q) > radius || max(p, q) < -radius {
			continue // beside the plane of the line
		}
		for _, r := range lines[i].Rays {
			if apart(eye, r3.Add(eye, r3.Scale(r.Clear, r.Along)), a, b) <= radius {
				return true
			}
		}
	}
	return false
}

// apart is how far two segments are apart (Ericson, Real-Time Collision
// Detection, 2005, 5.1.9, from memory): the lines' nearest points, kept within both.
func apart(a, b, c, d r3.Vec) float64 {
	u, v, w := r3.Sub(b, a), r3.Sub(d, c), r3.Sub(a, c)
	uu, uv, vv, uw, vw := r3.Norm2(u), r3.Dot(u, v), r3.Norm2(v), r3.Dot(u, w), r3.Dot(v, w)
	s, unit := 0.0, func(x float64) float64 { return min(max(x, 0), 1) }
	if det := uu*vv - uv*uv; det > 1e-9*uu*vv {
		s = unit((uv*vw - uw*vv) / det)
	} else if vv == 0 {
		s = unit(-uw / uu)
	}
	t := 0.0
	if vv > 0 {
		t = unit((uv*s + vw) / vv)
		s = unit((uv*t - uw) / uu)
	}
	return r3.Norm(r3.Add(w, r3.Sub(r3.Scale(s, u), r3.Scale(t, v))))
}

// What rays without a return claim is kept apart from what was crossed, begins at
// the scanner's least range, and reaches no further than what came back beside it.
func TestClaimsAreKeptApart(t *testing.T) {
	l := fan(evenly(101, 1000)...)
	for i := 40; i < 61; i++ {
		l.Rays[i].From, l.Rays[i].Clear, l.Rays[i].Claim = 300, 1400, true
	}
	g, err := New(arm.Reach{Centres: []r3.Vec{{}}, Radius: 1500}, 20, 10)
	if err != nil {
		t.Fatal(err)
	}
	g.TakeClaims()
	l.Cross(g)
	all, ok := g.Claimed(NewBits(g.lattice))
	if !ok {
		t.Fatal("no claims")
	}
	for x := 200.0; x < 1390; x += 3 {
		for _, a := range []float64{0, 0.06, 0.12} {
			c := g.lattice.At(r3.Vec{X: x * math.Cos(a), Y: x * math.Sin(a)})
			crossed, claimed := g.crossed.Has(c), all.Has(c) && !g.crossed.Has(c)
			// The claims end at 0.03 rad, and two rays further out others vouch for them.
			if a == 0 && (crossed && x > 500 || claimed != (x > 320) && (x > 500 || x < 280)) || a == 0.12 && (claimed || crossed != (x < 990) && (x < 980 || x > 1000)) || a == 0.06 && (crossed || claimed) && x > 1000 {
				t.Errorf("at %g mm and %g rad crossed is %v, claimed %v", x, a, crossed, claimed)
			}
		}
	}
}

// A claim that leads through a place where something was measured is dropped.
func TestClaimsThroughWhatWasMetAreWrong(t *testing.T) {
	l := fan(evenly(41, 1400)...)
	for i := range l.Rays {
		l.Rays[i].Claim = true
	}
	g, err := New(arm.Reach{Centres: []r3.Vec{{}}, Radius: 1500}, 20, 10)
	if err != nil {
		t.Fatal(err)
	}
	g.TakeClaims()
	l.Cross(g)
	met := NewBits(g.lattice)
	met.Set(g.lattice.At(r3.Vec{X: 700, Y: 1}))
	met = met.Grown(1)
	all, _ := g.Claimed(met)
	for _, x := range []float64{600, 1000} {
		if all.Has(g.lattice.At(r3.Vec{X: x, Y: 1})) {
			t.Errorf("crossed at %g mm on the way through", x)
		}
		if !all.Has(g.lattice.At(r3.Vec{X: x, Y: 0.04 * x})) {
			t.Errorf("not crossed at %g mm beside it", x)
		}
	}
}

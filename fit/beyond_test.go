package fit

import (
	"math"
	"slices"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// seenUpTo is the part of the swings between two azimuths.
func seenUpTo(from, to float64) (sweeps []sweep, profiles, points int) {
	for _, s := range swings {
		s.from, s.to, s.look = from, to, 0
		sweeps = append(sweeps, s)
	}
	return sweeps, 260, 320
}

// The scan stops short of the bench's left end, which may lie anywhere up to the
// wall: the interval says so and holds the truth.
func TestBenchWithAnEndOutOfSight(t *testing.T) {
	slow(t)
	for seed, x := range map[uint64]float64{24: -150, 25: -350, 26: 50} {
		w := hall(seed)
		at := standing(x, 1300, 0.12)
		bench(w, at, 1700, 600, 800)
		s := surveyedBy(w.look(seenUpTo(0.2, math.Pi/2+0.25)))
		tables := s.findTables(nil, nil, nil)
		if len(tables) != 1 || !tables[0].placed() {
			t.Fatalf("seed %d: %+v, want one table", seed, tables)
		}
		o := s.table(&tables[0])
		if len(o.NotSeen) != 1 || o.NotSeen[0] != "where its top ends on the left side" {
			t.Errorf("seed %d: not seen: %v", seed, o.NotSeen)
		}
		length := o.Measures["length_mm"]
		if !(math.Abs(length.Value-1700) < 2*length.Sigma) || length.Sigma < 50 || length.Sigma > longestTop/math.Sqrt(3) {
			t.Errorf("seed %d: length %.0f with sigma %.0f, true 1700", seed, length.Value, length.Sigma)
		}
		sameWithin(t, "width", o.Measures["width_mm"], 600, 12)
		truth := at.Apply(r3.Vec{Z: 800})
		off, along := at.R.T().Apply(r3.Sub(o.Pose.T, truth)), at.R.Axis(0)
		if sigma := math.Sqrt(o.Cov[0][0]*along.X*along.X + o.Cov[1][1]*along.Y*along.Y + 2*o.Cov[0][1]*along.X*along.Y); !(math.Abs(off.X) < 2*sigma) {
			t.Errorf("seed %d: %.0f mm off along its length, sigma %.0f", seed, off.X, sigma)
		}
		within(t, "across", off.Y, 0, 5)
		within(t, "height", off.Z, 0, 1)
	}
}

// Of a top that was seen to be 700 wide and at least 650 long, its length may be
// either, however far it may reach; one whose ends all run straight has the length
// that it measures, unless that is the width as far as it was measured.
func TestWidthThatMayBeTheLength(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		most  float64
		least float64
		loose bool
		sigma float64 // of each end
		want  bool
	}{
		{750, 650, true, 0, true}, {2650, 650, true, 0, true}, {3000, 720, true, 0, false},
		{720, 720, false, 3, false}, {715, 715, false, 3, true}, {685, 685, false, 3, true},
	} {
		top := &tabletop{frame: standing(0, 1300, 0)}
		for e := range top.ends {
			top.ends[e] = tableEnd{seen: true, straight: true, from: 350, to: 350}
			top.ends[e].Cov[0][0] = c.sigma * c.sigma
		}
		end := &top.ends[0]
		end.seen, end.loose, end.from, end.to = !c.loose, c.loose, c.least-350, c.most-350
		if open := slices.Contains(top.notSeen(), "which of its sides is the longer"); open != c.want || top.placed() == c.want {
			t.Errorf("%g to %g long and 700 wide: not seen %q, placed %v", c.least, c.most, top.notSeen(), top.placed())
		}
	}
}

// A side that was measured, and may be the longer or the shorter, says as either what it
// may be: 700 mm, of a top that is 300 to 900 mm along the other, may be the longer, and
// the shorter is 300 to 700 then.
func TestSidesOfWhichEitherMayBeTheLonger(t *testing.T) {
	t.Parallel()
	top := &tabletop{}
	for e := range top.ends {
		top.ends[e] = tableEnd{from: 350, to: 350}
	}
	top.ends[0].from, top.ends[0].to = -50, 550
	long, short := top.eitherSide()
	if want := (interval{700, 900}); long != want {
		t.Errorf("the longer side is %v, want %v", long, want)
	}
	if want := (interval{300, 700}); short != want {
		t.Errorf("the shorter side is %v, want %v", short, want)
	}
	m := Measure{Value: 700, Sigma: 4}
	within(t, "sigma of what may be 300 to 700", m.within(short).Sigma, 400/math.Sqrt(3), 1e-9)
	within(t, "sigma of what is known better than it was measured", m.within(interval{699, 701}).Sigma, 4, 0)
}

// A top of which nothing more was seen beyond x = 600 ends at the wall: it runs on
// over a leg, under a box or a cupboard, past a post that stands beside it, and
// nothing before its end ends it.
func TestWallBeyondATop(t *testing.T) {
	t.Parallel()
	const height = 200
	back := r3.Vec{X: -1}
	leg := tile(r3.Vec{X: 620, Y: 200, Z: height - 40 - 380}, back, 60, 760)
	box := tile(r3.Vec{X: 640, Z: height + 150}, back, 300, 300)
	cupboard := tile(r3.Vec{X: 660, Z: height + 900}, back, 600, 800)
	post := tile(r3.Vec{X: 680, Y: 400, Z: height}, back, 100, 1200)
	before := tile(r3.Vec{X: 400, Z: height}, back, 600, 1200)
	wall := tile(r3.Vec{X: 700, Z: height + 300}, back, 3000, 1600)
	behind := tile(r3.Vec{X: 900, Z: height + 300}, back, 3000, 1600)
	top := &tabletop{frame: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Z: height}}, extent: rect{lo: [2]float64{-600, -300}, hi: [2]float64{600, 300}}}
	top.top.Centre = r3.Vec{Z: height}
	if got := handMade(leg, box, cupboard, post, before).wallBeyond(top, 1, 600); !math.IsInf(got, 1) {
		t.Errorf("with nothing in its way, the top ends at %.0f", got)
	}
	within(t, "the wall", handMade(leg, box, cupboard, post, before, behind, wall).wallBeyond(top, 1, 600), 700, 1e-9)
}

// A top 1400 mm long is a metre wide at most; one that shows 800 mm of either side
// may be as long as a bench is made along both.
func TestMostOfATop(t *testing.T) {
	for _, c := range []struct{ x, y, mostX, mostY float64 }{{1400, 500, longestTop, deepestTop}, {800, 800, longestTop, longestTop}, {1400, 1200, longestTop, longestTop}} {
		top := &tabletop{extent: rect{hi: [2]float64{c.x, c.y}}}
		if top.most(0) != c.mostX || top.most(1) != c.mostY {
			t.Errorf("%g by %g seen: at most %g by %g", c.x, c.y, top.most(0), top.most(1))
		}
	}
}

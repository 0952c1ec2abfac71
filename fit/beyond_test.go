package fit

import (
	"math"
	"testing"

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
		tables := s.findTables(nil, nil)
		if len(tables) != 1 || tables[0].missing != nil {
			t.Fatalf("seed %d: %+v, want one table", seed, tables)
		}
		o := s.table(&tables[0])
		if len(o.NotSeen) != 1 || o.NotSeen[0] != "where its top ends on the left side" {
			t.Errorf("seed %d: not seen: %v", seed, o.NotSeen)
		}
		length := o.Measures["length_mm"]
		if !(math.Abs(length.Value-1700) < 2*length.Sigma) || length.Sigma < 50 || length.Sigma > longestTop/math.Sqrt(12) {
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
// either.
func TestWidthThatMayBeTheLength(t *testing.T) {
	for _, c := range []struct{ least, most, want float64 }{{650, 750, 0.5}, {650, 2650, 0.025}, {800, 3000, 0}, {300, 600, 1}} {
		within(t, "probability", exceeds(700, 700, c.least, c.most), c.want, 1e-9)
	}
	within(t, "two intervals", exceeds(0, 2, 1, 3), 0.125, 1e-3)
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

package align_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// corner is a room's corner of three planes, 2 m wide, as several scans see it.
type corner struct {
	rng   *rand.Rand
	noise float64
	moved []geom.Pose // of each scan: where it puts things, baseTrueToBaseSeen about the origin
}

// parts each scan is cut into.
const parts = 4

func (c *corner) problem() align.Problem {
	p := align.Problem{
		Scans: len(c.moved), Rounds: 24, Reach: align.Reach{Gate: 10, Turn: 0.2},
		Spread: align.Spread{Scan: mapping.Rigid{Shift: 0.1, Turn: 1e-4}, Part: mapping.Rigid{Shift: 0.02, Turn: 2e-5}, Runs: 0.5, Face: 0.05, Patch: 1},
	}
	eye := r3.Vec{X: 1000, Y: 1000, Z: 1000}
	for s, moved := range c.moved {
		cells := align.Cells{}
		for k := range parts {
			p.Parts = append(p.Parts, align.Part{Scan: s, Follows: k > 0})
		}
		for range 30000 {
			u, v := 2000*c.rng.Float64(), 2000*c.rng.Float64()
			e := c.noise * c.rng.NormFloat64()
			at := [3]r3.Vec{{X: u, Y: v, Z: e}, {X: e, Y: u, Z: v}, {X: v, Y: e, Z: u}}[c.rng.IntN(3)]
			at = moved.Apply(at)
			part := min(int(parts*u/2000), parts-1)
			cells.Add(parts*s+part, geom.Moments{N: 1, Mean: at}, r3.Sub(eye, at), nil)
		}
		p.Patches = append(p.Patches, cells.Patches()...)
	}
	return p
}

func small(rng *rand.Rand, shift, turn float64) geom.Pose {
	n := func(s float64) r3.Vec {
		return r3.Vec{X: s * rng.NormFloat64(), Y: s * rng.NormFloat64(), Z: s * rng.NormFloat64()}
	}
	return geom.Pose{R: geom.Exp(n(turn)), T: n(shift)}
}

// What is put into the scans comes out: corrections undo the errors but for
// what all scans have in common, which nothing tells.
func TestAdjustUndoesEachScansError(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	c := corner{rng: rng, noise: 0.5}
	for range 8 {
		c.moved = append(c.moved, small(rng, 0.5, 0.05*math.Pi/180))
	}
	a, err := align.Adjust(c.problem())
	if err != nil {
		t.Fatal(err)
	}
	if a.Surfaces < 3 {
		t.Fatalf("%d surfaces shared, want the three planes in pieces", a.Surfaces)
	}
	var common [3]float64
	mended := make([][3]float64, len(c.moved))
	probe := r3.Vec{X: 1000, Y: 1000, Z: 1000}
	for i, m := range c.moved {
		at := m.Apply(probe)
		s := a.Scans[i]
		at = r3.Add(at, r3.Add(s.Shift, r3.Cross(s.Turn, r3.Sub(at, s.Pivot))))
		d := r3.Sub(at, probe)
		mended[i] = [3]float64{d.X, d.Y, d.Z}
		for k := range common {
			common[k] += mended[i][k] / float64(len(c.moved))
		}
	}
	for i := range mended {
		for k, v := range mended[i] {
			// A scan's 90 patches a plane of 50 points each put it to a hundredth
			// of a millimetre; the issue asks for 0.15 mm at 1 m.
			if d := v - common[k]; math.Abs(d) > 0.05 {
				t.Errorf("scan %d is left %.3f mm off the others along axis %d", i, d, k)
			}
		}
	}
	// The gauge: eight errors of 0.5 mm have a mean of some 0.2 mm.
	for k, v := range common {
		if math.Abs(v) > 4*0.5/math.Sqrt(8) {
			t.Errorf("all scans together have drifted by %.3f mm along axis %d", v, k)
		}
	}
	if s := a.Spread.Scan; s.Shift < 0.25 || s.Shift > 1 || s.Turn < 4e-4 || s.Turn > 2e-3 {
		t.Errorf("the spread is learnt as %.3f mm and %.2g rad, drawn with 0.5 and 8.7e-4", s.Shift, s.Turn)
	}
}

// A scan that is far off the others is named, and moves none of them.
func TestAdjustNamesAnOutlier(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 2))
	c := corner{rng: rng, noise: 0.5}
	for range 7 {
		c.moved = append(c.moved, small(rng, 0.1, 1e-4))
	}
	c.moved[4].T = r3.Add(c.moved[4].T, r3.Vec{X: 4, Y: -3, Z: 2})
	a, err := align.Adjust(c.problem())
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range a.Scans {
		if s.Outlier != (i == 4) {
			t.Errorf("scan %d: outlier %v, %.1f deviations off", i, s.Outlier, s.Beyond)
		}
		if i != 4 && r3.Norm(s.Shift) > 0.6 {
			t.Errorf("scan %d is moved by %v", i, s.Shift)
		}
	}
	if a.Spread.Scan.Shift > 0.4 {
		t.Errorf("one outlier makes the spread %.2f mm, drawn with 0.1", a.Spread.Scan.Shift)
	}
}

func TestAdjustRefusesWhatNothingShares(t *testing.T) {
	c := corner{rng: rand.New(rand.NewPCG(1, 1)), noise: 0.5, moved: []geom.Pose{geom.Identity()}}
	if _, err := align.Adjust(c.problem()); err != align.ErrNothingShared {
		t.Errorf("error %v, want ErrNothingShared", err)
	}
}

package fit

import (
	"math"
	"math/rand/v2"
	"testing"
)

// seenBy draws what scans tell of a border at 0: their profiles in steps of pitch
// mm, with the noise of their ends; rim has their points end on the border, and
// one scan in ten misses up to three profiles before it.
func seenBy(rng *rand.Rand, scans int, rim bool) []nearest {
	var out []nearest
	for range scans {
		pitch, noise := 3+9*rng.Float64(), 0.2+0.4*rng.Float64()
		n := nearest{at: noise * rng.NormFloat64(), left: pitch, noise: noise, rows: 5}
		if !rim {
			n.at += pitch * rng.Float64()
		}
		if rng.Float64() < 0.1 {
			n.at += 3 * pitch * rng.Float64()
		}
		out = append(out, n)
	}
	return out
}

// Over many borders, seen by one to four scans, with a rim and without, a stated
// 95 % interval holds the border in 90 to 99 of 100, and few lie far outside: what
// the spacing of profiles leaves open is in it.
func TestStatedEdgesHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	const runs = 500
	for scans := 1; scans <= 4; scans++ {
		for _, c := range []struct {
			name string
			rim  func() bool // of this border
			may  bool        // a rim is looked for
		}{
			{"an opening", func() bool { return rng.Float64() < 0.5 }, true},
			{"a front's end", func() bool { return false }, false},
		} {
			inside, far := 0, 0
			var square float64
			for range runs {
				at, sigma := edgeOf(seenBy(rng, scans, c.rim()), math.Inf(-1), c.may)
				z := math.Abs(at) / sigma
				square += z * z / runs
				if z < 1.96 {
					inside++
				}
				if z > 4 {
					far++
				}
			}
			if inside < 0.90*runs || square > 1.6 || far > 0.02*runs {
				t.Errorf("%s, %d scans: %d of %d intervals hold, mean square of z %.2f, %d beyond four sigma", c.name, scans, inside, runs, square, far)
			}
		}
	}
}

// Four scans whose profiles stand 10 mm apart and that all end within half a
// millimetre end on a rim: by chance that happens in one of 8000.
func TestScansThatAgreeEndOnARim(t *testing.T) {
	scans := []nearest{{0.2, 10, 0.4, 0, 5}, {-0.1, 10, 0.4, 0, 5}, {0.3, 10, 0.4, 0, 5}, {-0.3, 10, 0.4, 0, 5}}
	if at, sigma := edgeOf(scans, math.Inf(-1), true); math.Abs(at) > 0.3 || sigma > 0.5 {
		t.Errorf("the edge lies at %.2f, sigma %.2f", at, sigma)
	}
	// One scan alone may be short of the edge by all of its profiles' pitch.
	if at, sigma := edgeOf(scans[:1], math.Inf(-1), true); math.Abs(at-(-10)) > 3*sigma || sigma < 2 {
		t.Errorf("seen by one scan: at %.2f, sigma %.2f", at, sigma)
	}
	// Rays that were seen to pass bound it.
	if at, sigma := edgeOf(scans[:1], -2, false); at < -2 || sigma > 1 {
		t.Errorf("with rays past it: at %.2f, sigma %.2f", at, sigma)
	}
}

// Sweeps whose profiles lie in step end short of the edge at one place, as if it had
// a rim there. Rows of another sweep that reach further prove otherwise; a single
// one may be a stray.
func TestRowsThatReachFurtherAreBelieved(t *testing.T) {
	inStep := []nearest{{1.6, 11, 0.5, 0, 9}, {1.7, 15, 0.8, 0, 3}, {1.2, 11, 0.5, 0, 12}}
	if at, sigma := edgeOf(append(inStep, nearest{-9.2, 10, 0.5, 0, 4}), math.Inf(-1), true); math.Abs(at+9.4) > 0.6 || sigma > 1 {
		t.Errorf("four rows: the edge lies at %.2f, sigma %.2f", at, sigma)
	}
	if at, _ := edgeOf(append(inStep, nearest{-30, 10, 0.5, 0, 1}), math.Inf(-1), true); math.Abs(at-1.5) > 1 {
		t.Errorf("a stray 30 mm off: the edge lies at %.2f", at)
	}
}

// Profiles 7 mm apart, of which a voxel holds one or two and some are missing, and
// the points of one profile in several voxels of its row: the pitch is 7.
func TestPitchOfProfiles(t *testing.T) {
	one := &sweepRows{closed: make([]float64, 20), vague: make([]float64, 20)}
	for row := range 20 {
		for k := range 8 {
			if (row+k)%7 == 0 {
				continue
			}
			x := 7*float64(k) + 0.1*float64(row)
			for _, d := range []float64{0, 0.3, 0.5} {
				one.add(row, x+d, x+d, 0, &patch{})
			}
		}
	}
	if p := one.pitch(); math.Abs(p-6.5) > 0.6 {
		t.Errorf("pitch %.2f, want about 7", p)
	}
}

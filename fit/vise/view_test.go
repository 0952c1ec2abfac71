package vise

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A vise beside the one that was looked at: few lines of few points cross it, and one
// sweep's points lie in voxels of 20 mm. Larger patches than the finest show it, and
// it is located as well as its points allow.
func TestLocateWhatWasScannedLess(t *testing.T) {
	t.Parallel()
	b := plain()
	sweeps := threePasses(b)
	for k := range sweeps {
		sweeps[k].profiles, sweeps[k].pixels = 60, 130
	}
	for seed := range uint64(3) {
		c := b.scan(sweeps, faulty, rand.New(rand.NewPCG(seed, 5)))
		c = regrouped(c, func(scan int32) float64 { return [3]float64{20, 5, 5}[scan] })
		v := look(c, benchPlace(b))
		if fine, _ := v.settleAll(detect(v, plainWant), plainWant, nil); len(fine) > 0 || v.pitch > finestPitch {
			t.Fatalf("seed %d: patches of %g mm show %d: it was scanned too well for this test", seed, v.pitch, len(fine))
		}
		found, refused := Locate(c, plainWant, benchPlace(b))
		if refused != nil {
			t.Errorf("seed %d: refused %+v", seed, *refused)
			continue
		}
		err, sigma := errorsOf(found[0], b)
		for k := range err {
			if math.Abs(err[k]) > 4*sigma[k] {
				t.Errorf("seed %d: parameter %d is off by %.3g, stated sigma %.3g", seed, k, err[k], sigma[k])
			}
		}
	}
}

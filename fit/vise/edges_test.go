package vise

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestEdgesAreNotBiased: an edge that is a jump to a sweep lies in the middle of
// its bracket, on average over edges and sweeps, whatever the other sweeps see of
// the face below it.
func TestEdgesAreNotBiased(t *testing.T) {
	var sum, variance, n float64
	for i := range 4 {
		rng := rand.New(rand.NewPCG(uint64(i), 99))
		b := drawn(rng)
		f := look(b.scan(threePasses(b), flaws{noise: 0.3}, rng), benchPlace(b)).begin(&b.truth)
		f.use(f.all)
		f.assign(closeGate)
		f.weigh()
		for _, c := range carried {
			for _, br := range f.brackets(c.carrier, c.target, true) {
				e, ok := br.edge()
				if !ok {
					continue
				}
				_, mids, _ := br.strips()
				for _, m := range mids {
					sum += (m - f.offset(c.target)) / float64(len(mids))
				}
				variance += e.sigma * e.sigma
				n++
			}
		}
	}
	if n < 20 {
		t.Fatalf("only %g edges are jumps", n)
	}
	if mean, most := sum/n, 3*math.Sqrt(variance)/n; math.Abs(mean) > most {
		t.Errorf("%g edges lie %.3f mm off on average, more than %.3f", n, mean, most)
	}
}

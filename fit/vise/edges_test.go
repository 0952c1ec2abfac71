package vise

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestEdgesAreNotBiased: an edge that is a jump to a sweep lies in the middle of
// its bracket, on average over edges and sweeps, whatever the other sweeps see of
// the face below it. The brackets of one sweep and axis may all be off alike.
func TestEdgesAreNotBiased(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	type alike struct{ vise, scan, axis int }
	var sum, n float64
	sigmas := map[alike]float64{}
	for i := range 4 {
		rng := rand.New(rand.NewPCG(uint64(i), 99))
		b := drawn(rng)
		f := look(b.scan(threePasses(b), flaws{noise: 0.3}, rng), benchPlace(b)).begin(&b.truth)
		f.use(f.all)
		f.assign(closeGate)
		f.weigh()
		for _, c := range carried {
			for scan, br := range f.brackets(c.carrier, c.target, true) {
				e, ok := br.edge()
				if !ok {
					continue
				}
				_, mids, _ := br.strips()
				for _, m := range mids {
					sum += (m - f.offset(c.target)) / float64(len(mids))
				}
				sigmas[alike{i, scan, axisOf(faces[c.target].normal)}] += e.sigma
				n++
			}
		}
	}
	if n < 40 {
		t.Fatalf("only %g edges are jumps", n)
	}
	var variance float64
	for _, s := range sigmas {
		variance += s * s
	}
	if mean, most := sum/n, 2.5*math.Sqrt(variance)/n; math.Abs(mean) > most {
		t.Errorf("%g edges lie %.3f mm off on average, more than %.3f", n, mean, most)
	}
}

package vise

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestWaverKeepsTiltsHonest: faces that look tilted by themselves, each sweep by
// another way, must not make a tilt that is better known than they agree. The
// tops of the stated sigma hold the truth as often as they say.
func TestWaverKeepsTiltsHonest(t *testing.T) {
	if testing.Short() {
		t.Skip("locates many vises")
	}
	n, inside, stated := 10, 0, 0
	for i := range n {
		rng := rand.New(rand.NewPCG(uint64(i), 77))
		b := drawn(rng)
		c := b.scan(fourPasses(b), flaws{noise: 0.2, declared: 0.1}, rng)
		inJaw := b.truth.pose.Inverse()
		phase := make([]float64, len(c.Scans))
		for k := range phase {
			phase[k] = 2 * math.Pi * rng.Float64()
		}
		for k := range c.Voxels { // a wave of 0.04 mm along each sweep
			v := &c.Voxels[k]
			wave := func(p r3.Vec) r3.Vec {
				q := inJaw.Apply(p)
				return r3.Vec{Z: 0.04 * math.Sin(phase[v.Scan]+(q.X+q.Y)*2*math.Pi/180)}
			}
			v.Mean = r3.Add(v.Mean, wave(v.Mean))
			for m := v.First; m < v.First+v.Kept; m++ {
				p := &c.Samples[m]
				d := wave(r3.Vec{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])})
				p[2] += float32(d.Z)
			}
		}
		found, refused := Locate(c, Want{Fixed: "far"}, benchPlace(b))
		if refused != nil {
			t.Fatalf("vise %d: %+v", i, refused)
		}
		err, sigma := errorsOf(found[0], b)
		for k := range err {
			stated++
			if math.Abs(err[k]) < 1.96*sigma[k] {
				inside++
			}
			if math.Abs(err[k]) > 5*sigma[k] {
				t.Errorf("vise %d: parameter %d is %.1f stated sigma off", i, k, err[k]/sigma[k])
			}
		}
	}
	if share := float64(inside) / float64(stated); share < 0.85 {
		t.Errorf("%.2f of the 95 %% intervals hold the truth", share)
	}
}

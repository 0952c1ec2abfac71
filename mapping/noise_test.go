package mapping

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// heard is the noise that a piece shows of a room: walls at several ranges and
// tilts, a plate and a pillar before them.
func heard(l *lineOf, profiles int) Noise {
	p := &piece{}
	for k := range profiles {
		tilt := 0.5 * math.Sin(float64(k))
		room := nearest(flatAt(900+1500*float64(k%7)/6, tilt), within(-0.3, -0.1, flatAt(600, 0.2)))
		l.scan(p, float64(k), func(a float64) float64 { return math.Min(room(a), flatAt(1200, -1.0)(a)) })
	}
	w := &worker{piece: p, scan: stillScan()}
	w.listen()
	return w.sigma
}

// The noise must come back to 15 percent whatever its size, also where it runs
// on along the line, as that of real triangulating scanners does (common
// practice), and where it does not grow with the range.
func TestNoiseIsReadOffTheScans(t *testing.T) {
	for _, c := range []struct {
		name  string
		noise Noise
		along float64
	}{
		{"independent", Noise{AtMetre: 0.3}, 0},
		{"small", Noise{AtMetre: 0.02}, 0},
		{"large", Noise{AtMetre: 2}, 0},
		{"over 6 points", Noise{AtMetre: 0.3}, math.Exp(-1.0 / 6)},
		{"over 12 points", Noise{AtMetre: 0.3}, math.Exp(-1.0 / 12)},
		{"the same at all ranges", Noise{Constant: 2}, 0},
	} {
		l := newLine(0, 3)
		l.noise, l.along = c.noise, c.along
		got := heard(l, 320)
		for _, r := range []float64{700, 1500, 2400} {
			if ratio := got.Sigma(r) / c.noise.Sigma(r); math.Abs(ratio-1) > 0.15 {
				t.Errorf("%s: at %g mm %.4f mm, true %.4f", c.name, r, got.Sigma(r), c.noise.Sigma(r))
			}
		}
	}
}

func TestNoiseThroughReadings(t *testing.T) {
	for _, want := range []Noise{{AtMetre: 0.3}, {Constant: 5}, {AtMetre: 0.3, Constant: 1}} {
		var readings []reading
		for _, r := range []float64{400, 700, 1200, 2000, 3500} {
			readings = append(readings, reading{at: r, sigma: want.Sigma(r), n: 1000})
		}
		got := noiseThrough(readings)
		if math.Abs(got.AtMetre-want.AtMetre) > 1e-6 || math.Abs(got.Constant-want.Constant) > 1e-5 {
			t.Errorf("noise %+v through the readings of %+v", got, want)
		}
	}
	if got := noiseThrough([]reading{{at: 2000, sigma: 1.2, n: 100}}); math.Abs(got.AtMetre-0.3) > 1e-12 || got.Constant != 0 {
		t.Errorf("one band of 1.2 mm at 2 m gives %+v, want 0.3 at 1 m", got)
	}
	if got := noiseThrough(nil); got != (Noise{}) {
		t.Errorf("no reading gives %+v", got)
	}
}

// A still scan has no profiles: flat patches show the noise, between clutter.
func TestNoiseOfAStillScan(t *testing.T) {
	const sigma = 4.0
	rng := rand.New(rand.NewPCG(9, 9))
	tab := newTable()
	for i := range 60000 {
		along := sigma * rng.NormFloat64()
		u, v := 3000*(rng.Float64()-.5), 3000*(rng.Float64()-.5)
		p := r3.Vec{X: 2500 + along, Y: u, Z: v} // a wall, the noise across it
		if i%4 == 0 {
			p = r3.Vec{X: 2000 + 400*rng.Float64(), Y: u, Z: v / 3} // things before it
		}
		tab.add(p, r3.Scale(-1/norm(p), p), norm(p), int64(i))
	}
	tab.coarsen()
	got := noiseThrough(tab.thickness())
	if s := got.Sigma(2700); math.Abs(s/sigma-1) > 0.15 {
		t.Errorf("noise %.2f mm at 2.7 m, true %.2f", s, sigma)
	}
}

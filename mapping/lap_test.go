package mapping

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// A mirror that turns looks the same way again after a turn, one that swings after
// two swings at the latest, a single line never.
func TestLapIsHowLongTheScannerLooksAway(t *testing.T) {
	for name, c := range map[string]struct {
		angle  func(i int) float64
		lo, hi int
	}{
		"turns":       {func(i int) float64 { return 2 * math.Pi * float64(i) / 400 }, 398, 402},
		"sawtooth":    {func(i int) float64 { return 0.005*float64(i%200) - 0.5 }, 198, 202},
		"swings":      {func(i int) float64 { return 0.5 * math.Asin(math.Sin(math.Pi*float64(i)/200)) }, 300, 402},
		"never again": {func(i int) float64 { return 0.0005 * float64(i) }, 0, 0},
	} {
		p := &piece{}
		for i := range 3000 {
			s, co := math.Sincos(c.angle(i))
			v := r3.Scale(900+float64(i%7), r3.Vec{X: s, Z: co})
			if i%11 == 3 {
				v = r3.Vec{}
			}
			p.p, p.t = append(p.p, v), append(p.t, 0.001*float64(i))
		}
		if lap := p.lap(); lap < c.lo || lap > c.hi {
			t.Errorf("%s: a lap of %d points, want %d to %d", name, lap, c.lo, c.hi)
		}
	}
}

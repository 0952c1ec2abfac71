package fit

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A control that sits on the front reaches 12 mm into its opening along two fifths of
// the edge: it is not known better than that step. A frame of which some points failed
// has none, for no ray went past it there.
func TestEdgeWithAStepIsKnownToTheStep(t *testing.T) {
	const in, length, pitch = 12.0, 900.0, 5.0
	for name, c := range map[string]struct {
		reaches float64 // how far up what stands before the sheet was seen
		rays    bool    // past that, where it was not seen
		stepped bool
	}{
		"a control":                {0.4 * length, true, true},
		"half a frame seen":        {0.4 * length, false, false},
		"nothing before the sheet": {0, true, false},
	} {
		rng := rand.New(rand.NewPCG(4, 5))
		s := &sheet{}
		q := search{axis: 0, solid: 1, reach: borderReach, to: length, proud: true, lip: true}
		for scan := range int32(3) {
			first := pitch * rng.Float64()
			for y := 2.0; y < length; y += pitch {
				covered := y < c.reaches
				for x := -100 + first; x < 60; x += pitch {
					p := patch{at: [2]float64{x + 0.2*rng.NormFloat64(), y}, spacing: pitch, facing: 0.9, scan: scan}
					switch {
					case x < -in || x < 0 && !covered && (c.rays || c.reaches == 0):
						p.deep = 400
						s.open, s.rays = append(s.open, p), append(s.rays, rayAt(p.at[0], y))
					case covered:
						s.proud = append(s.proud, p)
					case x >= 0:
						s.closed = append(s.closed, p)
					}
				}
				if covered {
					s.proud = append(s.proud, patch{at: [2]float64{-in, y}, spacing: pitch, facing: 0.9, scan: scan})
				} else {
					s.closed = append(s.closed, patch{at: [2]float64{0, y}, spacing: pitch, facing: 0.9, scan: scan})
				}
			}
		}
		b, ok := s.find(q)
		if !ok || b.stepped != c.stepped {
			t.Errorf("%s: %+v, %v", name, b, ok)
		}
		if c.stepped && (math.Abs(b.at+in/2) > 3 || b.sigma < in/math.Sqrt(12) || b.sigma > in/2) {
			t.Errorf("%s: it lies at %.1f, sigma %.1f; want between %.0f and 0", name, b.at, b.sigma, -in)
		}
		if !c.stepped && b.sigma > 3 {
			t.Errorf("%s: it is known to %.1f mm only", name, b.sigma)
		}
	}
}

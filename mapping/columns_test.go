package mapping

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// fans is a piece of profiles of 80 points over 0.8 rad, each turned by start, at
// random ranges, of which miss gives no return.
func fans(rng *rand.Rand, start func() float64, miss func(profile, point int) bool) *piece {
	p := &piece{eye: r3.Vec{Z: -150}}
	for k := range 50 {
		from := start()
		for i := range 80 {
			s, c := math.Sincos(from + 0.01*float64(i) - 0.4)
			v := r3.Scale(300+2000*rng.Float64(), r3.Vec{X: s, Z: c})
			if v = r3.Add(v, p.eye); miss(k, i) {
				v = r3.Vec{X: math.NaN()}
			}
			p.p, p.t = append(p.p, v), append(p.t, float64(k))
		}
	}
	return p
}

func still() float64 { return 0 }

// A ray that gave no return has the direction of those of its place that did.
func TestColumnsAreToldByOtherProfiles(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	var c columns
	c.learn(fans(rng, still, func(k, i int) bool { return i == 7 && k > 0 || i >= 20 && i < 60 && k%5 != 0 }))
	for i := range 80 {
		along, ok := c.at(i)
		if ok != (i != 7) {
			t.Errorf("column %d is known: %v", i, ok)
		}
		s, co := math.Sincos(0.01*float64(i) - 0.4)
		if ok && r3.Norm(r3.Sub(along, r3.Vec{X: s, Z: co})) > 1e-9 {
			t.Errorf("column %d looks along %v", i, along)
		}
	}
	if _, ok := c.at(80); ok {
		t.Error("a column beyond the profile is known")
	}
}

// Profiles that begin anywhere, or of which points were left out, tell nothing.
func TestLooseProfilesTellNoColumns(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 5))
	none := func(int, int) bool { return false }
	short := fans(rng, still, none)
	short.p, short.t = append(short.p[:100:100], short.p[101:]...), append(short.t[:100:100], short.t[101:]...)
	for name, p := range map[string]*piece{"turned": fans(rng, func() float64 { return 0.1 * rng.Float64() }, none), "a point left out": short} {
		var c columns
		c.learn(p)
		for i := range 80 {
			if _, ok := c.at(i); ok {
				t.Fatalf("%s: column %d is known", name, i)
			}
		}
	}
}

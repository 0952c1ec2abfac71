package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// anySolid draws a box, a cylinder, a prism or a hull, up to 8 m from the base.
func anySolid(t *testing.T, rng *rand.Rand) solid.Solid {
	t.Helper()
	u := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	at := geom.Pose{
		R: geom.RotFromRPY(u(-3, 3), u(-1.5, 1.5), u(-3, 3)),
		T: r3.Vec{X: u(-8000, 8000), Y: u(-8000, 8000), Z: u(-1000, 3000)},
	}
	switch rng.IntN(4) {
	case 0:
		return solid.Box{Box: geom.Box{Pose: at, Size: r3.Vec{X: u(1, 5000), Y: u(1, 500), Z: u(1, 500)}}}
	case 1:
		return solid.Cylinder{Centre: at.T, Axis: at.R.Axis(2), Radius: u(5, 400), Height: u(5, 3000)}
	case 2:
		var ring []r3.Vec
		for i := range 9 {
			s, c := math.Sincos(2 * math.Pi * float64(i) / 9)
			ring = append(ring, at.Apply(r3.Vec{X: 700 * c, Y: 300 * s}))
		}
		p, err := solid.NewPrism(ring, at.R.Axis(2), u(1, 200))
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	var cloud []r3.Vec
	for range 60 {
		cloud = append(cloud, at.Apply(r3.Vec{X: u(-300, 300), Y: u(-100, 100), Z: u(-20, 20)}))
	}
	h, err := solid.NewHull(cloud)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func TestEverySolidCanBeWritten(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for range 400 {
		s := anySolid(t, rng)
		for _, margin := range []float64{0, 20} {
			m := s.Mesh(margin)
			f, err := Round(m)
			if err != nil {
				t.Fatalf("%T grown by %g: %v", s, margin, err)
			}
			if v := m.Volume(); math.Abs(f.Volume()-v) > 1e-3*v {
				t.Errorf("%T grown by %g: volume %g became %g", s, margin, v, f.Volume())
			}
		}
	}
}

package mapping

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// seen is a scan from the base's origin of the points that put gives it.
func seen(put func(add func(p r3.Vec))) *scan {
	s := stillScan()
	put(func(p r3.Vec) {
		r := norm(p)
		s.table.add(p, r3.Scale(-1/r, p), r, s.counts.Read)
		s.counts.Read++
	})
	return s
}

// left is how many points lie between two planes x.
func left(s *scan, from, to float64) (n float64) {
	for i := range s.table.n {
		if v := s.table.at(i); v.n > 0 {
			if x := v.voxel().Mean.X; x >= from && x <= to {
				n += v.n
			}
		}
	}
	return n
}

func TestStraysGoAndThinSurfacesStay(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 4))
	const strays = 300
	s := seen(func(add func(r3.Vec)) {
		for range 20000 { // a near wall: 18 points in a voxel of 20 mm
			add(r3.Vec{X: 2000 + 1.2*rng.NormFloat64(), Y: 600 * rng.Float64(), Z: 600 * rng.Float64()})
		}
		for y := 0.0; y < 1500; y += 18 { // a far wall: one point in a voxel
			for z := 0.0; z < 1500; z += 20 {
				add(r3.Vec{X: 4500 + 6*rng.NormFloat64(), Y: y, Z: z})
			}
		}
		for z := 0.0; z < 1500; z += 8 { // a cable
			add(r3.Vec{X: 3000, Y: -900 + rng.NormFloat64(), Z: z})
		}
		for range strays { // and strays in what is free between
			add(r3.Vec{X: 2200 + 600*rng.Float64(), Y: 1500 * rng.Float64(), Z: 1500 * rng.Float64()})
		}
	})
	wall, far, cable := left(s, 1900, 2100), left(s, 4400, 4600), left(s, 2999, 3001)
	if err := dropSparse([]*scan{s}); err != nil {
		t.Fatal(err)
	}
	if got := left(s, 1900, 2100); got < wall-2 {
		t.Errorf("%g of %g points of the near wall are left", got, wall)
	}
	if got := left(s, 4400, 4600); got < 0.995*far {
		t.Errorf("%g of %g points of the far wall are left", got, far)
	}
	if got := left(s, 2999, 3001); got < cable {
		t.Errorf("%g of %g points of the cable are left", got, cable)
	}
	if got := left(s, 2200, 2800); got > strays/50 {
		t.Errorf("%g of %d strays are left", got, strays)
	}
	if s.counts.Read != s.counts.Used+s.counts.Dropped[Sparse] || s.counts.Used != int64(left(s, 0, math.Inf(1))) {
		t.Errorf("counts %+v do not add up to what is left", s.counts)
	}
}

// Points that another scan confirms are no strays.
func TestAnotherScanSupports(t *testing.T) {
	few := func(add func(r3.Vec)) { add(r3.Vec{X: 1000, Y: 3}) }
	many := func(add func(r3.Vec)) {
		for y := -20.0; y <= 20; y += 2 {
			add(r3.Vec{X: 1002, Y: y})
		}
	}
	alone, both := seen(few), seen(few)
	if err := dropSparse([]*scan{alone}); err == nil {
		t.Error("a scan of which nothing is left is no error")
	}
	if err := dropSparse([]*scan{both, seen(many)}); err != nil {
		t.Fatal(err)
	}
	if alone.counts.Used != 0 || both.counts.Used != 1 {
		t.Errorf("%d points are left alone and %d beside another scan, want 0 and 1", alone.counts.Used, both.counts.Used)
	}
}

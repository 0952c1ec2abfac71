package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// strip is a piece of the plane y = 0, seen from -Y, with points of its own: 60 mm
// wide about x, 1 m high. Its covariance is that of its points (slopes
// sigma/sqrt(sum x^2), project's table of check values).
func strip(rng *rand.Rand, x, sigma float64) *surface.Surface {
	var m geom.Moments
	for range 400 {
		m.Add(r3.Vec{X: x + 60*(rng.Float64()-0.5), Y: sigma * rng.NormFloat64(), Z: 1000 * (rng.Float64() - 0.5)}, 1)
	}
	pl, _ := m.Plane()
	pl = pl.Facing(r3.Vec{X: x, Y: -1000})
	s := &surface.Surface{Plane: pl, Centre: m.Mean, Area: 60000}
	f := pl.Frame(m.Mean)
	s.Budget.Noise[0][0] = sigma * sigma / m.N
	s.Budget.Noise[1][1] = sigma * sigma / m.Scatter.Form(f.R.Axis(1))
	s.Budget.Noise[2][2] = sigma * sigma / m.Scatter.Form(f.R.Axis(0))
	s.Cov = s.Budget.Noise
	return s
}

// Two stiles 1.2 m apart hold the turn about the upright axis by that lever: the
// fused plane is nearer to the truth than either, as its sigma says.
func TestFuseTwoStiles(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 4))
	var single, fused, stated float64
	const runs = 200
	for range runs {
		a, b := strip(rng, -600, 0.5), strip(rng, 600, 0.5)
		f := fuse([]*surface.Surface{a, b})
		turn := func(n r3.Vec) float64 { return math.Atan2(n.X, -n.Y) }
		single += turn(a.Plane.Normal) * turn(a.Plane.Normal) / runs
		fused += turn(f.Normal) * turn(f.Normal) / runs
		stated += f.Cov[2][2] / runs
	}
	if fused > single/100 {
		t.Errorf("rms turn %.2g rad fused, %.2g from one stile: want ten times better", math.Sqrt(fused), math.Sqrt(single))
	}
	// formSigma is stated on top of what these flat strips have.
	lever := formSigma * math.Sqrt2 / 1200
	if s := math.Sqrt(stated); s < math.Sqrt(fused) || s > 1.2*lever {
		t.Errorf("stated sigma %.2g rad, errors %.2g, form alone %.2g", s, math.Sqrt(fused), lever)
	}
}

func TestFuseKeepsWhatAllPiecesShare(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 4))
	a, b := strip(rng, -600, 0.5), strip(rng, 600, 0.5)
	for _, s := range []*surface.Surface{a, b} {
		s.Budget.Arm[0][0] = 0.09
		s.Cov = s.Budget.Total()
	}
	if got := fuse([]*surface.Surface{a, b}).Cov[0][0]; got < 0.09 || got > 0.09+formSigma*formSigma {
		t.Errorf("offset variance %.4f: an arm's error of 0.3 mm does not average out over two pieces", got)
	}
}

func TestFuseOfOneIsThatOne(t *testing.T) {
	s := strip(rand.New(rand.NewPCG(1, 1)), 0, 0.3)
	if b := fuse([]*surface.Surface{s}); b.Plane != s.Plane || b.Cov != s.Cov {
		t.Error("a single piece was changed")
	}
}

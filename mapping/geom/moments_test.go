package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

// Any way of cutting a set up and merging it again gives the mean and the
// covariance that gonum/stat gives for the whole, even where the set lies ten
// metres from the origin and is a tenth of a millimetre thick.
func TestMergeAgainstGonumStat(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 13))
	const n = 5000
	rows, weights := mat.NewDense(n, 3, nil), make([]float64, n)
	parts := make([]Moments, 17)
	for i := range n {
		p := r3.Vec{X: 9000 + 40*rng.NormFloat64(), Y: -4000 + 25*rng.NormFloat64(), Z: 2500 + .1*rng.NormFloat64()}
		w := 1 + rng.Float64()
		rows.SetRow(i, []float64{p.X, p.Y, p.Z})
		weights[i] = w
		parts[rng.IntN(len(parts))].Add(p, w)
	}
	var whole Moments
	for _, m := range parts {
		whole.Merge(m)
	}
	whole.Merge(Moments{})
	var cov mat.SymDense
	stat.CovarianceMatrix(&cov, rows, weights)
	got := [3][3]float64{
		{whole.Scatter[0], whole.Scatter[1], whole.Scatter[2]},
		{whole.Scatter[1], whole.Scatter[3], whole.Scatter[4]},
		{whole.Scatter[2], whole.Scatter[4], whole.Scatter[5]},
	}
	mean := [3]float64{whole.Mean.X, whole.Mean.Y, whole.Mean.Z}
	for i := range 3 {
		if want := stat.Mean(mat.Col(nil, i, rows), weights); math.Abs(mean[i]-want) > 1e-9 {
			t.Errorf("mean %d is %.12g, gonum %.12g", i, mean[i], want)
		}
		for j := range 3 {
			// gonum divides by the sum of weights less one
			want, tol := cov.At(i, j), 1e-10*math.Sqrt(cov.At(i, i)*cov.At(j, j))
			if have := got[i][j] / (whole.N - 1); math.Abs(have-want) > tol {
				t.Errorf("covariance %d,%d is %.12g, gonum %.12g", i, j, have, want)
			}
		}
	}
}

func TestWeightedKeepsShape(t *testing.T) {
	var once, thrice Moments
	for _, p := range []r3.Vec{{X: 1}, {Y: 2}, {Z: 3}, {X: 1, Y: 1, Z: 1}} {
		once.Add(p, 1)
		thrice.Add(p, 3)
	}
	w := once.Weighted(3)
	for i := range w.Scatter {
		if math.Abs(w.Scatter[i]-thrice.Scatter[i]) > 1e-14 {
			t.Errorf("scatter %v, points of weight 3 give %v", w.Scatter, thrice.Scatter)
		}
	}
	if w.N != thrice.N || w.Mean != thrice.Mean {
		t.Errorf("weighted moments %v, points of weight 3 give %v", w, thrice)
	}
}

// Null-space data (Cox and Forbes, NPL report DITC 211/92): residuals that no
// plane can lessen, so the fit must come back to z = 0 with all of them.
func TestPlaneOfNullSpaceData(t *testing.T) {
	var m Moments
	for _, p := range []r3.Vec{{X: 50, Y: 50, Z: .1}, {X: -50, Y: 50, Z: -.1}, {X: 50, Y: -50, Z: -.1}, {X: -50, Y: -50, Z: .1}} {
		m.Add(p, 1)
	}
	pl, w := m.Plane()
	if math.Abs(math.Abs(pl.Normal.Z)-1) > 1e-15 || math.Abs(pl.Offset) > 1e-15 {
		t.Errorf("plane %v, want z = 0", pl)
	}
	if math.Abs(math.Sqrt(w[0])-.1) > 1e-12 {
		t.Errorf("rms %g, want 0.1", math.Sqrt(w[0]))
	}
	if got := math.Sqrt(m.SquaresTo(pl) / m.N); math.Abs(got-.1) > 1e-12 {
		t.Errorf("rms to the plane %g, want 0.1", got)
	}
}

// A 10 x 10 grid of 10 mm pitch with 0.1 mm of height noise: the centroid's
// offset has sigma 0.0100 mm and each slope 3.4816e-4 rad, the Cramer-Rao bound
// (Franaszek, J. Res. NIST 115 (2010) 461).
func TestPlaneReachesTheCramerRaoBound(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 14))
	const runs = 4000
	var offset, slope []float64
	for range runs {
		var m Moments
		for i := range 100 {
			m.Add(r3.Vec{X: float64(i%10)*10 - 45, Y: float64(i/10)*10 - 45, Z: .1 * rng.NormFloat64()}, 1)
		}
		pl, _ := m.Plane()
		offset = append(offset, m.Mean.Z)
		slope = append(slope, -pl.Normal.X/pl.Normal.Z)
	}
	const four = 4 / 89.4 // four standard errors of a deviation: 1/sqrt(2 runs) each
	if got := stat.StdDev(offset, nil); math.Abs(got/.0100-1) > four {
		t.Errorf("offset sigma %.5f mm, want 0.0100", got)
	}
	if got := stat.StdDev(slope, nil); math.Abs(got/3.4816e-4-1) > four {
		t.Errorf("slope sigma %.4e rad, want 3.4816e-4", got)
	}
}

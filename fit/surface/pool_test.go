package surface

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// sweeps draws the planes of k sweeps of a plane through 0, with noise of
// differing size and the shift and turn given.
func sweeps(r *rand.Rand, k int, shift, turn float64) []plain {
	out := make([]plain, k)
	for i := range out {
		n := 0.02 * float64(1+i)
		p := plain{known: 3, turn: mat3{{0.3, 0, 0}, {0, 1e-6, 0}, {0, 0, 1e-6}}}
		p.noise = mat3{{n * n, 0, 0}, {0, 1e-8, 0}, {0, 0, 1e-8}}
		p.wave = mat3{{1, 0, 0}, {0, 1e-6, 0}, {0, 0, 1e-6}}
		c := sway{shift: shift * shift, turn: turn * turn}.of(&p).plus(p.noise)
		for j := range p.at {
			p.at[j] = math.Sqrt(c[j][j]) * r.NormFloat64()
		}
		out[i] = p
	}
	return out
}

// Generalised least squares with gonum's dense matrices: the same estimate and
// covariance.
func TestPoolIsGeneralisedLeastSquares(t *testing.T) {
	s := sway{shift: 0.04, turn: 0.09, wave: 0.01}
	planes := sweeps(rand.New(rand.NewPCG(1, 0)), 4, 0.2, 0.3)
	info, right := mat.NewDense(3, 3, nil), mat.NewVecDense(3, nil)
	for i := range planes {
		v := s.of(&planes[i]).plus(planes[i].noise)
		var inv mat.Dense
		if err := inv.Inverse(mat.NewDense(3, 3, append(append(v[0][:], v[1][:]...), v[2][:]...))); err != nil {
			t.Fatal(err)
		}
		info.Add(info, &inv)
		var x mat.VecDense
		x.MulVec(&inv, mat.NewVecDense(3, planes[i].at[:]))
		right.AddVec(right, &x)
	}
	var cov mat.Dense
	if err := cov.Inverse(info); err != nil {
		t.Fatal(err)
	}
	var want mat.VecDense
	want.MulVec(&cov, right)
	got := pool(planes, s)
	total := got.noise.plus(got.sweep(planes, s))
	for i := range 3 {
		if math.Abs(got.at[i]-want.AtVec(i)) > 1e-9 {
			t.Errorf("parameter %d is %g, want %g", i, got.at[i], want.AtVec(i))
		}
		if math.Abs(total[i][i]/cov.At(i, i)-1) > 1e-9 {
			t.Errorf("variance %d is %g, want %g", i, total[i][i], cov.At(i, i))
		}
	}
}

// The truth, 0, lies within 1.96 sigma in 95 of 100 cases, and the misfit has the
// mean that is stated.
func TestPooledIntervals(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 0))
	const runs = 4000
	in, misfit, free := 0.0, 0.0, 0.0
	for range runs {
		planes, s := sweeps(r, 4, 0.2, 0.3), sway{shift: 0.04, turn: 0.09}
		p := pool(planes, s)
		c := p.noise.plus(p.sweep(planes, s))
		if math.Abs(p.at[0]) < 1.96*math.Sqrt(c[0][0]) {
			in++
		}
		misfit += p.misfit
		free += p.free
	}
	if share := in / runs; math.Abs(share-0.95) > 4*math.Sqrt(0.95*0.05/runs) {
		t.Errorf("%.3f of the intervals hold the truth, want 0.95", share)
	}
	if math.Abs(misfit/free-1) > 0.05 {
		t.Errorf("misfit %.1f, degrees of freedom %.1f", misfit/runs, free/runs)
	}
}

// A sweep of very many points does not outvote three others that sway as much.
func TestManyPointsDoNotOutvote(t *testing.T) {
	planes := sweeps(rand.New(rand.NewPCG(3, 0)), 4, 0, 0)
	for i := range planes {
		planes[i].at = vec3{}
		planes[i].noise[0][0] = 1e-4
	}
	planes[0].at[0], planes[0].noise[0][0] = 1, 1e-10
	if got := pool(planes, sway{shift: 0.04}).at[0]; math.Abs(got-0.25) > 0.01 {
		t.Errorf("offset %.3f, want about a quarter of the one that differs by 1", got)
	}
}

// Chi-squared at 0.99 with 3 degrees of freedom is 11.345 (Abramowitz and Stegun,
// table 26.8): three times that many is no chance.
func TestInflation(t *testing.T) {
	for _, c := range []struct{ misfit, want float64 }{{11.3, 1}, {11.4, 11.4 / 3}, {3, 1}, {60, 20}} {
		p := pooled{misfit: c.misfit, free: 3}
		if got := p.inflation(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("misfit %g of 3: inflated %g times, want %g", c.misfit, got, c.want)
		}
	}
	if got := (&pooled{misfit: 5}).inflation(); got != 1 {
		t.Errorf("nothing to compare: inflated %g times", got)
	}
}

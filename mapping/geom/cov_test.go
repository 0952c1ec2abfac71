package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

// uneven is a covariance with every correlation: 0.1 to 0.6 mm and mrad.
func uneven() Cov6 {
	var root, c Cov6
	rng := rand.New(rand.NewPCG(8, 8))
	for i := range root {
		for j := range root[i] {
			root[i][j] = 1e-3 * (rng.Float64() - .5)
			if i < 3 {
				root[i][j] *= 500
			}
		}
	}
	for i := range c {
		for j := range c {
			for k := range root {
				c[i][j] += root[i][k] * root[j][k]
			}
		}
	}
	return c
}

func symDense(c Cov6) *mat.SymDense {
	s := mat.NewSymDense(6, nil)
	for i := range 6 {
		for j := range 6 {
			s.SetSym(i, j, c[i][j])
		}
	}
	return s
}

// trials draws 40 000 normal perturbations of covariance c by its Cholesky root,
// passes each through move and returns gonum's sample covariance.
func trials(t *testing.T, c Cov6, move func(d [6]float64) [6]float64) *mat.SymDense {
	t.Helper()
	const n = 40000
	var root mat.Cholesky
	if !root.Factorize(symDense(c)) {
		t.Fatal("the covariance is not positive definite")
	}
	var lower mat.TriDense
	root.LTo(&lower)
	rng := rand.New(rand.NewPCG(9, 9))
	white, draw := mat.NewVecDense(6, nil), mat.NewVecDense(6, nil)
	rows := mat.NewDense(n, 6, nil)
	for i := range n {
		for k := range 6 {
			white.SetVec(k, rng.NormFloat64())
		}
		draw.MulVec(&lower, white)
		d := move([6]float64(draw.RawVector().Data))
		rows.SetRow(i, d[:])
	}
	var out mat.SymDense
	stat.CovarianceMatrix(&out, rows, nil)
	return &out
}

// near holds every entry to 4.5 standard errors of a sample covariance, which
// is sqrt((c_ii c_jj + c_ij^2)/n) for normal data (common practice), plus the
// second order that propagation leaves out.
func near(t *testing.T, got Cov6, want *mat.SymDense) {
	t.Helper()
	for i := range 6 {
		for j := range 6 {
			w := want.At(i, j)
			se := math.Sqrt((want.At(i, i)*want.At(j, j) + w*w) / 40000)
			if math.Abs(got[i][j]-w) > 4.5*se {
				t.Errorf("entry %d,%d: propagated %g, drawn %g +- %g", i, j, got[i][j], w, se)
			}
		}
	}
}

func TestAtAgainstMonteCarlo(t *testing.T) {
	rng := rand.New(rand.NewPCG(10, 10))
	body := randomPose(rng)
	lever := r3.Vec{X: 400, Y: -250, Z: 120}
	carried := Pose{R: body.R, T: r3.Add(body.T, lever)} // the same body, spoken of at another point
	childFromPoint := body.Inverse().Mul(carried)
	near(t, uneven().At(lever), trials(t, uneven(), func(d [6]float64) [6]float64 {
		return body.Perturb(d).Mul(childFromPoint).Minus(carried)
	}))
}

func TestTurnedAgainstMonteCarlo(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 11))
	parentFromOld := Pose{R: Exp(randomVec(rng))}
	body := randomPose(rng)
	moved := parentFromOld.Mul(body)
	near(t, uneven().Turned(parentFromOld.R), trials(t, uneven(), func(d [6]float64) [6]float64 {
		return parentFromOld.Mul(body.Perturb(d)).Minus(moved)
	}))
}

func TestPlusAddsAndSigmasAreRoots(t *testing.T) {
	c := uneven()
	d := c.Plus(c).Plus(c).Plus(c)
	if got, want := d.SigmaT().Y, 2*math.Sqrt(c[1][1]); math.Abs(got-want) > 1e-15 {
		t.Errorf("four times the covariance gives sigma %g, want twice %g", got, want/2)
	}
	if got, want := d.SigmaR().Z, 2*math.Sqrt(c[5][5]); math.Abs(got-want) > 1e-15 {
		t.Errorf("four times the covariance gives rotation sigma %g, want %g", got, want)
	}
}

package rigid

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

func anyMotion(rng *rand.Rand) Motion {
	v := func(s float64) r3.Vec {
		return r3.Vec{X: s * rng.NormFloat64(), Y: s * rng.NormFloat64(), Z: s * rng.NormFloat64()}
	}
	m := Motion{Pose: geom.Pose{R: geom.Exp(v(.5)), T: v(300)}, About: v(500)}
	var root geom.Cov6
	for i := range 6 {
		for k := range 6 {
			root[i][k] = .2 * rng.NormFloat64() / unit(i, 500)
		}
	}
	m.Cov = geom.Cov6{{1}, {1: 1}, {2: 1}, {3: 1}, {4: 1}, {5: 1}}.Through(root)
	return m
}

// draw perturbs a motion as its covariance says.
func draw(m Motion, rng *rand.Rand) geom.Pose {
	cov := mat.NewSymDense(6, nil)
	for i := range 6 {
		for k := range i + 1 {
			cov.SetSym(i, k, m.Cov[i][k])
		}
	}
	var chol mat.Cholesky
	chol.Factorize(cov)
	var lower mat.TriDense
	chol.LTo(&lower)
	white := mat.NewVecDense(6, nil)
	for i := range 6 {
		white.SetVec(i, rng.NormFloat64())
	}
	var d mat.VecDense
	d.MulVec(&lower, white)
	return About(m.About, r3.Vec{X: d.AtVec(0), Y: d.AtVec(1), Z: d.AtVec(2)}, r3.Vec{X: d.AtVec(3), Y: d.AtVec(4), Z: d.AtVec(5)}).Mul(m.Pose)
}

// sigmaAt compares the stated spread of a point's new place with a drawn one.
func sigmaAt(t *testing.T, what string, m Motion, old r3.Vec, drawn func() geom.Pose) {
	t.Helper()
	const runs = 4000
	place := m.Pose.Apply(old)
	rows := mat.NewDense(runs, 3, nil)
	for r := range runs {
		p := r3.Sub(drawn().Apply(old), place)
		rows.SetRow(r, []float64{p.X, p.Y, p.Z})
	}
	var got mat.SymDense
	stat.CovarianceMatrix(&got, rows, nil)
	s := m.At(place).SigmaT()
	for i, stated := range [3]float64{s.X, s.Y, s.Z} {
		if want := math.Sqrt(got.At(i, i)); math.Abs(stated/want-1) > 4.5/math.Sqrt(2*runs) {
			t.Errorf("%s: sigma %d is stated as %g, drawn as %g", what, i, stated, want)
		}
	}
}

func TestAfterAndInverseAgainstMonteCarlo(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 3 {
		a, b := anyMotion(rng), anyMotion(rng)
		old := r3.Vec{X: 200, Y: -400, Z: 600}
		sigmaAt(t, "after", b.After(a), old, func() geom.Pose { return draw(b, rng).Mul(draw(a, rng)) })
		sigmaAt(t, "inverse", a.Inverse(), old, func() geom.Pose { return draw(a, rng).Inverse() })
	}
}

func TestClosedTakesWhatTheOtherHolds(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	other := anyMotion(rng)
	m := other
	m.Loose = []Direction{{Slide: r3.Vec{X: 1}}, {Turn: r3.Vec{Z: 1}, Through: r3.Vec{X: 100}}}
	for _, d := range m.Loose { // m is off by what it cannot tell
		m.Pose = About(d.Through, r3.Scale(40, d.Slide), r3.Scale(.1, d.Turn)).Mul(m.Pose)
	}
	got, by := m.Closed(other, 300)
	if len(got.Loose) > 0 || len(by) != 2 {
		t.Fatalf("still loose: %v; told by the other: %v", got.Loose, by)
	}
	// The turn is not small, so slide and turn do not quite commute.
	for i, d := range got.Pose.Minus(other.Pose) {
		if math.Abs(d)*unit(i, 300) > 5 {
			t.Errorf("component %d is off by %g", i, d)
		}
	}
	other.Cov[0][0] += 1e6
	if got, by := m.Closed(other, 300); len(got.Loose) != 1 || math.Abs(got.Loose[0].Slide.X) < .99 || len(by) != 1 || math.Abs(by[0].Turn.Z) < .99 {
		t.Errorf("the other does not hold X, yet %v is all that is loose, and %v told by it", got.Loose, by)
	}
}

// By hand: a level face, 100 mm up, that a guess slid by 30 mm and turned by 0.1 rad
// about a point beside it, tells its rise of 2 mm and its lean; what is left of the
// guess is at rest, and the rise is known as well as before.
func TestToldIsAtRestAlongWhatIsLoose(t *testing.T) {
	z := r3.Vec{Z: 1}
	at := r3.Vec{X: 500, Y: 200, Z: 100}
	guess := About(r3.Vec{X: 900}, r3.Vec{X: 30, Z: 2}, r3.Vec{Z: .1})
	m := Motion{Pose: guess, About: guess.Apply(at), Loose: []Direction{{Slide: r3.Vec{X: 1}}, {Slide: r3.Vec{Y: 1}}, {Turn: z, Through: guess.Apply(at)}}}
	m.Cov = geom.Cov6{2: {2: .01}, 3: {3: 1e-6}, 4: {4: 1e-6}}
	m.Cov[0][0], m.Cov[0][2], m.Cov[2][0] = 9, .1, .1 // as a prior may have left it
	got := m.Told(200)
	if d := r3.Norm(r3.Sub(got.Pose.Apply(at), r3.Add(at, r3.Scale(2, z)))); d > 1e-9 {
		t.Errorf("the face's middle goes to %v", got.Pose.Apply(at))
	}
	if w := r3.Norm(got.Pose.R.Log()); w > 1e-12 {
		t.Errorf("it still turns by %g", w)
	}
	if c := got.At(got.Pose.Apply(at)); math.Abs(c[2][2]-.01) > 1e-12 || math.Abs(c[0][0]) > 1e-12 || math.Abs(c[0][2]) > 1e-12 {
		t.Errorf("covariance %v", c)
	}
}

func TestAgainstLeavesOutWhatHasNoVariance(t *testing.T) {
	cov := geom.Cov6{{.04}, {1: .01}}
	got := Against([6]float64{.4, .1, 7, 0, 0, .3}, cov, 100)
	if got.Freedom != 2 || math.Abs(got.ChiSquare-5) > 1e-12 { // .4^2/.04 + .1^2/.01
		t.Errorf("%+v", got)
	}
	if p := (Test{ChiSquare: 5.991, Freedom: 2}).P(); math.Abs(p-.05) > 1e-4 { // chi-square tables: 5.991 at 5 %
		t.Errorf("P = %g", p)
	}
	// Tables of Fisher's F: 2.42 at 5 % for 6 over 30 degrees of freedom.
	if p := (Test{ChiSquare: 6 * 2.4205, Freedom: 6, Known: 30}).P(); math.Abs(p-.05) > 1e-4 {
		t.Errorf("P over estimated variances = %g", p)
	}
}

func TestHolds(t *testing.T) {
	m := Motion{Loose: []Direction{{Turn: r3.Vec{Z: 1}, Through: r3.Vec{X: 10}}}}
	if !m.Holds(r3.Vec{X: 10, Z: 500}, 1e-9) || m.Holds(r3.Vec{X: 40}, 1e-9) {
		t.Error("a turn holds what is on its axis, and only that")
	}
}

package vise

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// onePlane is a fit of a single parameter, the height of the fixed jaw's top,
// seen by sweeps at the given heights, each of them to within sigma.
func onePlane(heights []float64, sigma, declared float64) *fit {
	f := &fit{view: &view{cloud: &mapping.Cloud{PoseSigma: declared}}}
	f.jaws = plain().truth
	f.pose.T, f.centre = r3.Vec{}, r3.Vec{}
	f.size[opening] = 0
	f.expect = f.loosely()
	f.sweeps = make([][6]float64, len(heights))
	f.scans = make([]int32, len(heights))
	for s, h := range heights {
		b := block{face: fixedTop, scan: int32(s), group: -1, waver: noWaver}
		for _, at := range []r3.Vec{{X: 50, Y: 20}, {X: -50, Y: 20}, {X: 50, Y: -20}, {X: -50, Y: -20}} {
			at.Z = h
			b.add(f.pose.R.Apply(at), 0.25/(sigma*sigma))
		}
		f.blocks = append(f.blocks, b)
	}
	f.mixture.sweeps = f.expected()
	return f
}

// TestSpreadOfSweepsShows: sweeps that disagree by far more than their noise
// must not be averaged down to it. The standard error of the mean of k draws of
// spread s is s/sqrt(k) (GUM, JCGM 100:2008, 4.2.3).
func TestSpreadOfSweepsShows(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	const spread, k = 0.4, 6
	var heights []float64
	var squares, mean float64
	for range k {
		heights = append(heights, spread*rng.NormFloat64())
		mean += heights[len(heights)-1] / k
	}
	for _, h := range heights {
		squares += (h - mean) * (h - mean) / (k - 1)
	}
	f := onePlane(heights, 0.002, 0)
	m := f.system().overShifts(f)
	up := f.pose.R.Axis(2)
	moved := up.X*m.step[0] + up.Y*m.step[1] + up.Z*m.step[2]
	if math.Abs(moved-mean) > 0.01 {
		t.Errorf("the plane moves to %.3f, the sweeps' mean is %.3f", moved, mean)
	}
	sigma := alongUp(m.cov, up)
	if want := math.Sqrt(squares / k); sigma < 0.7*want || sigma > 1.6*want {
		t.Errorf("sigma %.3f, the standard error of the mean is %.3f", sigma, want)
	}
}

// alongUp is one sigma of the origin along up.
func alongUp(cov *mat.SymDense, up r3.Vec) float64 {
	u := vec(up)
	var s float64
	for i := range u {
		for k := range u {
			s += u[i] * u[k] * cov.At(i, k)
		}
	}
	return math.Sqrt(s)
}

// TestOneSweepIsAsGoodAsTheArm: with one sweep nothing shows how far it is off;
// then what was declared of the arm must show.
func TestOneSweepIsAsGoodAsTheArm(t *testing.T) {
	for _, declared := range []float64{0.1, 0.5} {
		f := onePlane([]float64{0}, 0.002, declared)
		m := f.system().overShifts(f)
		if sigma := alongUp(m.cov, f.pose.R.Axis(2)); sigma < 0.8*declared || sigma > 1.6*declared {
			t.Errorf("declared %.2f mm, stated %.3f mm", declared, sigma)
		}
	}
}

// TestFactorsAgainstLinearAlgebra: the scaled solution is the plain one.
func TestFactorsAgainstLinearAlgebra(t *testing.T) {
	s := &system{information: mat.NewSymDense(2, []float64{4e8, 3, 3, 5e-4}), pull: mat.NewVecDense(2, []float64{8e8, 1e-3})}
	step, factors, logDet := s.factor()
	cov := factors.cov()
	det := 4e8*5e-4 - 9
	for _, x := range []struct{ got, want float64 }{
		{cov.At(0, 0), 5e-4 / det}, {cov.At(1, 1), 4e8 / det}, {cov.At(0, 1), -3 / det},
		{step.AtVec(0), (5e-4*8e8 - 3*1e-3) / det}, {step.AtVec(1), (4e8*1e-3 - 3*8e8) / det}, {logDet, math.Log(det)},
	} {
		if math.Abs(x.got-x.want) > 1e-9*math.Abs(x.want) {
			t.Errorf("got %g, want %g", x.got, x.want)
		}
	}
}

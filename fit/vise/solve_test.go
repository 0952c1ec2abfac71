package vise

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestJacobianAgainstDifferences holds the analytic rows of every face to
// central differences of the distance itself.
func TestJacobianAgainstDifferences(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for k := range numFaces {
		f := &fit{jaws: drawn(rng).truth, scans: []int32{0}, groups: []edgeGroup{{bias: 0.1, gap: 1.5}}, trim: 0.1}
		f.size[lift], f.size[sideways] = 0.3, -0.4
		f.centre = f.middle()
		f.sweeps = [][6]float64{{0.2, -0.1, 0.3, 1e-3, -2e-3, 1e-3}}
		f.wavers = []waver{{face: k, off: [3]float64{0.002, -0.001, 0.003}}}
		b := &block{face: k, group: 0}
		at := r3.Vec{X: 60 * rng.NormFloat64(), Y: 60 * rng.NormFloat64(), Z: 60 * rng.NormFloat64()}
		h := [4]float64{1, at.X, at.Y, at.Z}
		_, rows := f.residual(b)
		for _, r := range rows {
			analytic := dot(r.by, h)
			numeric := difference(f, b, r.unknown, h)
			// a turn of a sweep, and a waver, act on the turn of the jaws in second order only
			if math.Abs(analytic-numeric) > 0.01*(1+math.Abs(numeric)) {
				t.Errorf("%s, unknown %d: %g, by differences %g", faces[k].name, r.unknown, analytic, numeric)
			}
		}
	}
}

// difference of the residual of the point h by the unknown.
func difference(f *fit, b *block, unknown int, h [4]float64) float64 {
	const step = 1e-5
	at := func(by float64) float64 {
		g := *f
		g.sweeps = [][6]float64{f.sweeps[0]}
		g.groups, g.wavers = []edgeGroup{f.groups[0]}, []waver{f.wavers[0]}
		switch {
		case unknown < 6:
			var d [6]float64
			d[unknown] = by
			g.pose = f.pose.Perturb(d)
		case unknown < atSweeps:
			g.size[unknown-atSizes] += by
		case unknown < atSweeps+6:
			g.sweeps[0][unknown-atSweeps] += by
		case unknown < f.atGroups():
			g.wavers[0].off[unknown-f.atWavers()] += by
		case unknown == f.atTrim():
			g.trim += by
		default:
			g.groups[0].bias += by
		}
		c, _ := g.residual(b)
		return dot(c, h)
	}
	return (at(step) - at(-step)) / (2 * step)
}

// TestResidualIsTheDistance: without shifts and biases the residual is the
// distance to the face's plane.
func TestResidualIsTheDistance(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 5))
	for k := range numFaces {
		f := &fit{jaws: drawn(rng).truth, scans: []int32{0}, sweeps: make([][6]float64, 1)}
		f.centre = f.middle()
		p := r3.Vec{X: 900 + 100*rng.Float64(), Y: 100 * rng.Float64(), Z: 700}
		q := r3.Sub(p, f.centre)
		g, _ := f.residual(&block{face: k, group: -1, waver: noWaver})
		pl := f.plane(k)
		if got, want := dot(g, [4]float64{1, q.X, q.Y, q.Z}), pl.Distance(p); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: residual %g, distance %g", faces[k].name, got, want)
		}
	}
}

// TestMomentsStandForPoints: a block of moments is the block of its points.
func TestMomentsStandForPoints(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 5))
	centre := r3.Vec{X: 1000, Y: -200, Z: 500}
	var one, all block
	var m geom.Moments
	for range 50 {
		p := r3.Vec{X: 1000 + rng.NormFloat64(), Y: -200 + rng.NormFloat64(), Z: 500 + rng.NormFloat64()}
		m.Add(p, 1)
		one.add(r3.Sub(p, centre), 2)
	}
	all.addAll(&m, centre, 2)
	for i := range one.sum {
		for k := range one.sum {
			if math.Abs(one.sum[i][k]-all.sum[i][k]) > 1e-9*(1+math.Abs(one.sum[i][k])) {
				t.Errorf("sum %d %d: %g from points, %g from moments", i, k, one.sum[i][k], all.sum[i][k])
			}
		}
	}
}

package mapping

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/cell"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// A lineOf is a made-up laser line in the plane y = 0 with its eye at the
// origin: range gives the true range along the ray at an angle.
type lineOf struct {
	points int
	step   float64 // rad
	noise  Noise
	along  float64 // correlation of the noise from one point to the next
	rng    *rand.Rand
}

func newLine(noise float64, seed uint64) *lineOf {
	return &lineOf{points: 480, step: 80 * math.Pi / 180 / 480, noise: Noise{AtMetre: noise}, rng: rand.New(rand.NewPCG(seed, 7))}
}

func (l *lineOf) angle(i int) float64 { return (float64(i) - float64(l.points)/2) * l.step }

// scan adds a profile to the piece at stamp t.
func (l *lineOf) scan(p *piece, t float64, ranges func(angle float64) float64) {
	run := l.rng.NormFloat64()
	for i := range l.points {
		a := l.angle(i)
		r := ranges(a)
		run = l.along*run + math.Sqrt(1-l.along*l.along)*l.rng.NormFloat64()
		r += run * l.noise.Sigma(r)
		p.p = append(p.p, r3.Vec{X: r * math.Sin(a), Z: r * math.Cos(a)})
		p.t = append(p.t, t)
	}
}

// flatAt is a plane at depth z whose normal is turned by tilt from the central
// ray.
func flatAt(z, tilt float64) func(float64) float64 {
	return func(a float64) float64 { return z * math.Cos(tilt) / math.Cos(a-tilt) }
}

// nearest is the nearer of two things.
func nearest(a, b func(float64) float64) func(float64) float64 {
	return func(x float64) float64 { return math.Min(a(x), b(x)) }
}

// within shows f between two angles and nothing outside.
func within(lo, hi float64, f func(float64) float64) func(float64) float64 {
	return func(a float64) float64 {
		if a < lo || a > hi {
			return math.Inf(1)
		}
		return f(a)
	}
}

func TestBendIsTheDistanceToTheChordAlongTheRay(t *testing.T) {
	// Three rays that meet the plane z = 1000 at x = 0, 100 and 300; the middle one
	// comes back 7 mm short of it.
	short := r3.Scale(1-7/math.Hypot(1000, 100), r3.Vec{X: 100, Z: 1000})
	p := &piece{p: []r3.Vec{{Z: 1000}, short, {X: 300, Z: 1000}}, t: []float64{0, 0, 0}}
	var f profile
	f.view(p, 0, 3)
	if math.Abs(f.bend[1]+7) > 1e-9 {
		t.Errorf("bend %g, want -7", f.bend[1])
	}
	if math.Abs(f.bendAt(1, 1)+7) > 1e-9 {
		t.Errorf("bend over one point %g, want -7", f.bendAt(1, 1))
	}
	if !math.IsNaN(f.bend[0]) || !math.IsNaN(f.bend[2]) {
		t.Error("the ends have a bend")
	}
}

func TestViewPassesOverWhatDidNotReturn(t *testing.T) {
	nan := math.NaN()
	p := &piece{eye: r3.Vec{Z: -50}, p: []r3.Vec{{Z: 950}, {}, {X: nan, Y: nan, Z: nan}, {X: math.Inf(1)}, {X: 100, Z: 950}}}
	var f profile
	f.view(p, 0, len(p.p))
	if len(f.v) != 2 || f.at[0] != 0 || f.at[1] != 4 || f.r[0] != 1000 {
		t.Errorf("returns %v at ranges %v, want the first and the last from 1000 mm", f.at, f.r)
	}
}

func TestBendIsUnknownWhereTheOrderTurns(t *testing.T) {
	p := &piece{p: []r3.Vec{{Z: 1000}, {X: 10, Z: 1000}, {X: 5, Z: 1000}, {X: 20, Z: 1000}}}
	var f profile
	f.view(p, 0, 4)
	if !math.IsNaN(f.bend[1]) || !math.IsNaN(f.bend[2]) {
		t.Errorf("bends %v where the line goes back on itself", f.bend)
	}
}

// stillScan is a scan that pieces can be worked on for.
func stillScan() *scan {
	placed := geom.Identity()
	return &scan{cell: &cell.Cell{}, pose: placed, spec: &cell.Scan{Unit: 1}, table: newTable()}
}

package surface

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// level is the plane z = 0 with its frame at the origin: U is X, V is Y.
func level() geom.Pose { return geom.Plane{Normal: r3.Vec{Z: 1}}.Frame(r3.Vec{}) }

// gridSight is a sight of a 10 x 10 grid of 10 mm pitch about the origin, with
// noise of sigma in height.
func gridSight(sigma float64, r *rand.Rand) *sight {
	g := &sight{}
	for i := range 100 {
		p := r3.Vec{X: 10*float64(i%10) - 45, Y: 10*float64(i/10) - 45, Z: sigma * r.NormFloat64()}
		s := spot{Moments: geom.Moments{N: 1, Mean: p}, eye: r3.Vec{Z: 1000}, noise: sigma * sigma}
		g.add(&s, 1/s.noise, s.noise)
	}
	return g
}

// Franaszek, J. Res. NIST 115 (2010) 461: the covariance of a fitted plane; the
// numbers were computed independently (20 000 Monte-Carlo runs) and are the
// Cramer-Rao bound: sigma/sqrt(n) of the offset at the centroid, sigma/sqrt(sum
// x^2) of the slopes.
func TestCovarianceOfAPlane(t *testing.T) {
	p := gridSight(0.1, rand.New(rand.NewPCG(1, 0))).plane(level(), 1)
	for i, want := range []float64{0.0100, 3.4816e-4, 3.4816e-4} {
		// What holds the slope within 0.02 adds (3.5e-4/0.02)^2 to the information.
		if got := math.Sqrt(p.noise[i][i]); math.Abs(got/want-1) > 4e-4 {
			t.Errorf("sigma of parameter %d is %.6g, want %g", i, got, want)
		}
	}
	if math.Abs(p.known-3) > 1e-3 {
		t.Errorf("%g parameters known, want 3", p.known)
	}
}

// The same fits scatter by what is stated.
func TestPlanesScatterAsStated(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 0))
	const runs = 2000
	var sum vec3
	for range runs {
		p := gridSight(0.1, r).plane(level(), 1)
		for i := range sum {
			sum[i] += p.at[i] * p.at[i] / p.noise[i][i]
		}
	}
	for i := range sum {
		if got := sum[i] / runs; math.Abs(got-1) > 4*math.Sqrt(2.0/runs) {
			t.Errorf("parameter %d scatters by %.3f of its variance", i, got)
		}
	}
}

// The vertex of three orthogonal faces, each of n points: every coordinate has
// sigma/sqrt(n) (computed independently).
func TestVertexOfThreeFaces(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 0))
	const runs, sigma, n = 2000, 0.1, 100
	turns := [3]geom.Rot{
		geom.IdentityRot(),
		geom.RotFromAxes(r3.Vec{Y: 1}, r3.Vec{Z: 1}, r3.Vec{X: 1}),
		geom.RotFromAxes(r3.Vec{Z: 1}, r3.Vec{X: 1}, r3.Vec{Y: 1}),
	}
	var sum r3.Vec
	for range runs {
		var planes [3]geom.Plane
		for k, turn := range turns {
			m := moved(level(), gridSight(sigma, r).plane(level(), 1).at)
			normal := turn.Apply(m.R.Axis(2))
			planes[k] = geom.Plane{Normal: normal, Offset: r3.Dot(m.R.Axis(2), m.T)}
		}
		p, ok := geom.Meet(planes[0], planes[1], planes[2])
		if !ok {
			t.Fatal("the planes do not meet")
		}
		sum = r3.Add(sum, r3.Vec{X: p.X * p.X, Y: p.Y * p.Y, Z: p.Z * p.Z})
	}
	for i, s := range []float64{sum.X, sum.Y, sum.Z} {
		if got := math.Sqrt(s / runs); math.Abs(got/(sigma/math.Sqrt(n))-1) > 4/math.Sqrt(2*runs) {
			t.Errorf("coordinate %d scatters by %.5f mm, want %.5f", i, got, sigma/math.Sqrt(n))
		}
	}
}

// Null-space data of Cox and Forbes, NPL Report DITC 211/92: the fit must not
// see the twist.
func TestPlaneNullSpace(t *testing.T) {
	const delta = 0.1
	g := &sight{}
	for _, p := range []r3.Vec{{X: 50, Y: 50, Z: delta}, {X: -50, Y: -50, Z: delta}, {X: 50, Y: -50, Z: -delta}, {X: -50, Y: 50, Z: -delta}} {
		g.add(&spot{Moments: geom.Moments{N: 1, Mean: p}, noise: 1}, 1, 1)
	}
	for i, v := range g.plane(level(), 1).at {
		if math.Abs(v) > 1e-12 {
			t.Errorf("parameter %d is %g, want 0", i, v)
		}
	}
	pl, w := g.weighed.Plane()
	if math.Abs(math.Abs(pl.Normal.Z)-1) > 1e-12 || math.Abs(pl.Offset) > 1e-12 || math.Abs(math.Sqrt(w[0])-delta) > 1e-12 {
		t.Errorf("plane %v with rms %g, want z = 0 with %g", pl, math.Sqrt(w[0]), delta)
	}
}

// By geometry: where the scanner turns by one mm over its distance from the base,
// a plane a lever away moves and turns as the same rotation says.
func TestTurnOfTheScanner(t *testing.T) {
	eye := r3.Vec{X: 300, Y: -200, Z: 900}
	g := &sight{points: 1, eye: eye}
	frame := geom.Plane{Normal: r3.Unit(r3.Vec{X: 0.3, Y: -0.2, Z: 1}), Offset: 40}.Frame(r3.Vec{X: 500, Y: 300})
	var want mat3
	for _, axis := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		w := r3.Scale(1e-6, axis) // small, so that the linear part is all
		turn := geom.Exp(w)
		n := turn.Apply(frame.R.Axis(2))
		p := r3.Add(eye, turn.Apply(r3.Sub(frame.T, eye)))
		v := vec3{
			r3.Dot(frame.R.Axis(2), p) - r3.Dot(frame.R.Axis(2), frame.T) + r3.Dot(r3.Sub(frame.R.Axis(2), n), r3.Sub(p, frame.T)),
			-r3.Dot(n, frame.R.Axis(1)), r3.Dot(n, frame.R.Axis(0)),
		}
		want = want.plus(v.outer().times(1e12 / r3.Norm2(eye)))
	}
	got := g.turn(frame)
	for i := range 3 {
		for j := range 3 {
			if math.Abs(got[i][j]-want[i][j]) > 1e-5*math.Abs(want[0][0]) {
				t.Errorf("[%d][%d] is %g, want %g", i, j, got[i][j], want[i][j])
			}
		}
	}
}

// A scanner that is turned by 1 mrad on its flange moves a face 1 m before it by
// 1 mm at 1 m beside its foot, and by nothing at its foot; a shift moves both.
func TestMountMovesAPlane(t *testing.T) {
	g := gridSight(0.1, rand.New(rand.NewPCG(1, 0))) // the eye 1 m above the origin
	by := mapping.Rigid{Shift: 0.3, Turn: 0.001}
	beside := level()
	beside.T.X = 1000
	for _, c := range []struct {
		frame geom.Pose
		want  float64
	}{{level(), 0.3}, {beside, math.Hypot(0.3, 1)}} {
		got := mounts([]sight{*g, *g}, c.frame, []mapping.Rigid{by})
		if math.Abs(math.Sqrt(got[0][0])-c.want) > 1e-6 || math.Abs(math.Sqrt(got[1][1])-0.001) > 1e-9 {
			t.Errorf("at %v: sigma %g mm, %g rad", c.frame.T, math.Sqrt(got[0][0]), math.Sqrt(got[1][1]))
		}
	}
	if got := mounts([]sight{*g}, level(), nil); got != (mat3{}) {
		t.Errorf("a still scan has %v of the mount", got)
	}
}

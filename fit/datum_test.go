package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// The vertex of three orthogonal faces is known along each axis as the face
// across it is: sigma_face/sqrt(n) (project's table of check values, computed
// there).
func TestVertexOfThreeFaces(t *testing.T) {
	sigmas := [3]float64{0.1, 0.2, 0.3}
	var from []bound
	for i, n := range [3]r3.Vec{{X: -1}, {Y: 1}, {Z: 1}} {
		b := bound{Plane: geom.Plane{Normal: n, Offset: 100}, Centre: r3.Scale(100, n)}
		b.Cov[0][0] = sigmas[i] * sigmas[i]
		from = append(from, b)
	}
	_, cov, ok := datum(from, func(p []geom.Plane) (geom.Pose, bool) {
		v, ok := geom.Meet(p[0], p[1], p[2])
		return geom.Pose{R: geom.IdentityRot(), T: v}, ok
	})
	if !ok {
		t.Fatal("three orthogonal planes give no vertex")
	}
	got := cov.SigmaT()
	for i, s := range [3]float64{got.X, got.Y, got.Z} {
		if math.Abs(s-sigmas[i]) > 1e-6 {
			t.Errorf("axis %d: sigma %.6f, want %.6f", i, s, sigmas[i])
		}
	}
}

// machineBounds are the four planes of an enclosure's datum, each known in part.
func machineBounds() []bound {
	at := standing(900, -100, 0.3)
	x, y, z := at.R.Axis(0), at.R.Axis(1), at.R.Axis(2)
	mk := func(n, p r3.Vec, offset, turn float64) bound {
		b := edgeBound(n, p, offset)
		b.Cov[1][1], b.Cov[2][2] = turn*turn, turn*turn
		b.Cov[0][1] = 0.3 * offset * turn
		b.Cov[1][0] = b.Cov[0][1]
		return b
	}
	return []bound{
		mk(r3.Scale(-1, x), at.Apply(r3.Vec{Z: 1000}), 0.15, 2e-4),
		mk(z, r3.Vec{Z: -600}, 0.2, 1e-4),
		mk(y, at.Apply(r3.Vec{X: 500, Y: 750, Z: 900}), 0.5, 3e-4),
		mk(r3.Scale(-1, y), at.Apply(r3.Vec{X: 400, Y: -750, Z: 900}), 0.8, 0),
	}
}

// The propagated covariance is that of 4000 draws, within their own scatter
// (JCGM 101:2008: propagation of distributions by Monte Carlo).
func TestDatumCovarianceAgainstDraws(t *testing.T) {
	from := machineBounds()
	pose, cov, ok := datum(from, enclosureDatum)
	if !ok {
		t.Fatal("no datum")
	}
	const draws = 4000
	rng := rand.New(rand.NewPCG(3, 5))
	var got geom.Cov6
	for range draws {
		p, ok := enclosureDatum(drawn(rng, from))
		if !ok {
			t.Fatal("a draw gave no datum")
		}
		d := p.Minus(pose)
		for i := range 6 {
			for j := range 6 {
				got[i][j] += d[i] * d[j] / draws
			}
		}
	}
	for i := range 6 {
		for j := range 6 {
			// The standard deviation of a drawn covariance (Wishart).
			tol := 4 * math.Sqrt((cov[i][i]*cov[j][j]+cov[i][j]*cov[i][j])/draws)
			if math.Abs(got[i][j]-cov[i][j]) > tol {
				t.Errorf("cov[%d][%d] is %.3g, draws give %.3g, more than %.2g apart", i, j, cov[i][j], got[i][j], tol)
			}
		}
	}
}

// drawn perturbs every plane once by its covariance.
func drawn(rng *rand.Rand, from []bound) []geom.Plane {
	out := make([]geom.Plane, len(from))
	for i, b := range from {
		l := lower(b.Cov)
		var d [3]float64
		for k := range 3 {
			g := rng.NormFloat64()
			for r := k; r < 3; r++ {
				d[r] += l[r][k] * g
			}
		}
		out[i] = b.moved(d)
	}
	return out
}

// lower is the Cholesky factor of a covariance; a parameter without variance has
// a row of zeros.
func lower(c surface.Cov3) (l [3][3]float64) {
	for i := range 3 {
		for j := range i + 1 {
			sum := c[i][j]
			for k := range j {
				sum -= l[i][k] * l[j][k]
			}
			if i == j {
				l[i][i] = math.Sqrt(max(sum, 0))
			} else if l[j][j] > 0 {
				l[i][j] = sum / l[j][j]
			}
		}
	}
	return l
}

func TestMeasureAgainstDraws(t *testing.T) {
	from := machineBounds()
	width := func(p []geom.Plane) (float64, bool) {
		l, r, ok := frontEnds(p)
		return r3.Norm(r3.Sub(l, r)), ok
	}
	m, ok := measure(from, width)
	if !ok || math.Abs(m.Value-1500) > 1e-6 {
		t.Fatalf("width %.6f, want 1500", m.Value)
	}
	rng := rand.New(rand.NewPCG(8, 1))
	sum, n := 0.0, 4000.0
	for range int(n) {
		w, _ := width(drawn(rng, from))
		sum += (w - m.Value) * (w - m.Value)
	}
	if got := math.Sqrt(sum / n); math.Abs(got/m.Sigma-1) > 4/math.Sqrt(2*n) {
		t.Errorf("sigma %.4f, draws give %.4f", m.Sigma, got)
	}
}

func TestFlatDatumIsExactAlongThePlane(t *testing.T) {
	b := somePlane()
	b.Cov[0][0] = 0.04
	pose, cov, _ := flatDatum(b)
	if d := b.Distance(pose.T); math.Abs(d) > 1e-9 || r3.Norm(r3.Sub(pose.R.Axis(2), b.Normal)) > 1e-12 {
		t.Errorf("the datum stands %.3g off its plane, with Z %v", d, pose.R.Axis(2))
	}
	if r3.Norm(r3.Cross(pose.T, b.Normal)) > 1e-9 {
		t.Errorf("the datum at %v is not the foot of the base's origin", pose.T)
	}
	local := cov.Turned(pose.R.T())
	if math.Abs(local[2][2]-0.04) > 1e-9 || local[0][0] > 1e-9 || local[1][1] > 1e-9 {
		t.Errorf("variances along X, Y, Z are %.3g, %.3g, %.3g, want 0, 0, 0.04", local[0][0], local[1][1], local[2][2])
	}
}

package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

func randomPlane(rng *rand.Rand) Plane {
	return Plane{Normal: r3.Unit(randomVec(rng)), Offset: 1000 * rng.NormFloat64()}
}

func TestMeetAgainstGonumSolve(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 15))
	for range 500 {
		a, b, c := randomPlane(rng), randomPlane(rng), randomPlane(rng)
		n := mat.NewDense(3, 3, []float64{
			a.Normal.X, a.Normal.Y, a.Normal.Z, b.Normal.X, b.Normal.Y, b.Normal.Z, c.Normal.X, c.Normal.Y, c.Normal.Z})
		var want mat.VecDense
		if err := want.SolveVec(n, mat.NewVecDense(3, []float64{a.Offset, b.Offset, c.Offset})); err != nil {
			continue // gonum's own word for ill conditioned
		}
		got, ok := Meet(a, b, c)
		tol := 1e-10 * mat.Cond(n, 2) * (1 + r3.Norm(got))
		if d := r3.Norm(r3.Sub(got, r3.Vec{X: want.AtVec(0), Y: want.AtVec(1), Z: want.AtVec(2)})); !ok || d > tol {
			t.Fatalf("Meet gave %v %v, gonum %v", got, ok, want.RawVector().Data)
		}
	}
}

func TestMeetRefusesParallels(t *testing.T) {
	z := Plane{Normal: r3.Vec{Z: 1}, Offset: 10}
	x := Plane{Normal: r3.Vec{X: 1}}
	tilted := Plane{Normal: r3.Unit(r3.Vec{X: 1e-8, Z: 1})}
	for _, c := range [][3]Plane{{z, z, x}, {z, x, tilted}, {x, z, Plane{Normal: r3.Unit(r3.Vec{X: 1, Z: 1})}}} {
		if p, ok := Meet(c[0], c[1], c[2]); ok {
			t.Errorf("planes without a common point meet at %v", p)
		}
	}
}

// Three orthogonal faces, each known to sigma/sqrt(n): so is every coordinate
// of their vertex.
func TestVertexOfThreeFaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(16, 16))
	const sigma, n, runs = .2, 25, 4000
	r := Exp(r3.Vec{X: .3, Y: -.5, Z: .2})
	var along []float64
	for range runs {
		var face [3]Plane
		for k := range face {
			face[k] = Plane{Normal: r.Axis(k), Offset: sigma / math.Sqrt(n) * rng.NormFloat64()}
		}
		p, ok := Meet(face[0], face[1], face[2])
		if !ok {
			t.Fatal("orthogonal faces do not meet")
		}
		along = append(along, p.X)
	}
	if got, want := stat.StdDev(along, nil), sigma/math.Sqrt(n); math.Abs(got/want-1) > 4/math.Sqrt(2*runs) {
		t.Errorf("vertex sigma %.4f, want %.4f", got, want)
	}
}

func TestFacingAndFoot(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 17))
	for range 200 {
		pl, eye := randomPlane(rng), r3.Scale(1000, randomVec(rng))
		f := pl.Facing(eye)
		if f.Distance(eye) < 0 {
			t.Fatal("the plane faces away from the eye")
		}
		if d := math.Abs(math.Abs(pl.Distance(eye)) - f.Distance(eye)); d > 1e-9 {
			t.Fatal("facing the eye moved the plane")
		}
		if d := f.Distance(f.Foot(eye)); math.Abs(d) > 1e-9 {
			t.Fatalf("the foot lies %g mm off the plane", d)
		}
	}
}

func TestFrameIsRightHandedAndLevel(t *testing.T) {
	rng := rand.New(rand.NewPCG(18, 18))
	planes := []Plane{{Normal: r3.Vec{Z: 1}}, {Normal: r3.Vec{Z: -1}, Offset: 5}, {Normal: r3.Vec{X: -1}}, {Normal: r3.Vec{X: 1}}}
	for range 200 {
		planes = append(planes, randomPlane(rng))
	}
	for _, pl := range planes {
		near := r3.Scale(1000, randomVec(rng))
		f := pl.Frame(near)
		x, y, z := f.R.Axis(0), f.R.Axis(1), f.R.Axis(2)
		if d := r3.Norm(r3.Sub(r3.Cross(x, y), z)); d > 1e-12 || z != pl.Normal || math.Abs(r3.Norm(x)-1) > 1e-12 {
			t.Fatalf("frame of %v is no right-handed frame: %v", pl, f.R)
		}
		if math.Abs(pl.Distance(f.T)) > 1e-9 {
			t.Fatalf("origin lies %g mm off the plane", pl.Distance(f.T))
		}
		if math.Hypot(pl.Normal.X, pl.Normal.Y) > .1 && math.Abs(x.Z) > 1e-12 {
			t.Fatalf("X of the frame of %v is not level: %v", pl, x)
		}
	}
}

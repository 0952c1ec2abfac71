package fit

import (
	"math"
	"testing"

	"cellwall/mapping/cell"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// holdBench holds a table to the truth by its own sigma, and that to a bound.
func holdBench(t *testing.T, s *survey, at geom.Pose, length, width, height float64) Object {
	t.Helper()
	tables := s.findTables(nil, nil, nil)
	if len(tables) != 1 {
		t.Fatalf("%d tables, want 1", len(tables))
	}
	if !tables[0].turned() || !tables[0].placed() {
		t.Fatalf("not seen: %v; turned to %.2g rad", tables[0].notSeen(), tables[0].turnSigma)
	}
	o := s.table(&tables[0])
	sameWithin(t, "length", o.Measures["length_mm"], length, 12)
	sameWithin(t, "width", o.Measures["width_mm"], width, 12)
	sameWithin(t, "height", o.Measures["height_mm"], height, 1)
	truth := at.Mul(geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Z: height}})
	d := o.Pose.Minus(truth)
	for i := range 6 {
		if sigma := math.Sqrt(o.Cov[i][i]); !(math.Abs(d[i]) < 4*sigma) {
			t.Errorf("datum %d is off by %.3g with sigma %.3g", i, d[i], sigma)
		}
	}
	within(t, "turn", deg(o.Pose.R.Mul(truth.R.T()).Log().Z), 0, 0.5)
	return o
}

func TestBench(t *testing.T) {
	slow(t)
	w := hall(21)
	at := standing(200, 1300, 0.12)
	bench(w, at, 1200, 600, 800)
	o := holdBench(t, surveyedAt(w, math.Pi/2), at, 1200, 600, 800)
	if len(o.Parts) < 2 {
		t.Errorf("%d legs in view of at least the two before", len(o.Parts))
	}
	for _, leg := range o.Parts {
		p := at.Inverse().Apply(leg.Pose.T)
		within(t, "leg along X", math.Abs(p.X), 520, 40)
		within(t, "leg along Y", math.Abs(p.Y), 240, 40)
	}
}

// Against the wall, with things on it.
func TestBenchAgainstAWall(t *testing.T) {
	slow(t)
	w := hall(22)
	at := standing(-100, 2095, 0) // its back edge 5 mm from the wall
	bench(w, at, 1400, 600, 750)
	top := at.Mul(geom.Pose{R: geom.Exp(r3.Vec{Z: 0.4}), T: r3.Vec{X: 200, Z: 750}})
	w.box(top, 0, -100, 0, 300, 200, 150)
	holdBench(t, surveyedAt(w, math.Pi/2), at, 1400, 600, 750)
}

// A low cabinet has a level top at working height and sides down to the floor: a
// block, not a table; but where cell.yaml names a table and no other stands there,
// a bench with a cabinet under its top.
func TestCabinetTopIsATableWhereNamed(t *testing.T) {
	slow(t)
	w := hall(23)
	at := standing(0, 1300, 0.1)
	w.box(at, -500, -250, 0, 1000, 500, 820)
	w.box(at, -520, -270, 820, 1040, 540, 30)
	c := w.look(toward(math.Pi / 2))
	for name, wanted := range map[string][]cell.Wanted{
		"nobody": nil, "by kind": {{Name: "bench", Kind: "table"}}, "by a hint": {{Name: "bench", Kind: "table", Near: &r3.Vec{Y: 1500}}},
	} {
		s, f := surveyedBy(c), &Findings{}
		s.dealTables(f, wanted, nil)
		if len(f.Objects) != len(wanted) || len(f.Refused) > 0 {
			t.Errorf("wanted by %s: %d tables, refused %v", name, len(f.Objects), f.Refused)
		}
		for _, o := range f.Objects {
			sameWithin(t, "length", o.Measures["length_mm"], 1040, 12)
			sameWithin(t, "width", o.Measures["width_mm"], 540, 12)
			sameWithin(t, "height", o.Measures["height_mm"], 850, 1)
			if p := at.Inverse().Apply(o.Parts[0].Pose.T); len(o.Parts) != 1 || r3.Norm(r3.Sub(p, r3.Vec{Z: 425})) > 20 {
				t.Errorf("its body stands at %v", p)
			}
		}
	}
}

func TestSideSeenFromTheBase(t *testing.T) {
	t.Parallel()
	at := r3.Vec{X: 1000, Y: 1000, Z: 300}
	for want, n := range map[string]r3.Vec{
		"far side": {X: 0.9, Y: 0.5}, "near side": {X: -1}, "left side": {X: -1, Y: 1.1}, "right side": {X: 1, Y: -1.1},
	} {
		n = r3.Unit(n)
		if want == "near side" {
			n = r3.Unit(r3.Vec{X: -1, Y: -0.9})
		}
		if got := sideSeen(n, at); got != want {
			t.Errorf("%v of a thing at %v is its %s, want %s", n, at, got, want)
		}
	}
}

// A datum that may stand a right angle off says so about its own Z, and of nothing
// else.
func TestEitherWayIsARightAngleAboutZ(t *testing.T) {
	t.Parallel()
	r := geom.RotFromRPY(0.3, -0.2, 1.1)
	c := eitherWay(r)
	for a, want := range [3]float64{0, 0, 90} {
		d, sum := r.Axis(a), 0.0
		for i, x := range [3]float64{d.X, d.Y, d.Z} {
			for k, y := range [3]float64{d.X, d.Y, d.Z} {
				sum += x * y * c[3+i][3+k]
			}
		}
		within(t, "sigma about an axis, degrees", deg(math.Sqrt(math.Max(sum, 0))), want, 1e-4)
	}
}

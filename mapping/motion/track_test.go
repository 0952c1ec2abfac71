package motion

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/arm"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
)

// twoJoints is a planar arm of two links, 400 and 300 mm.
func twoJoints() *arm.Arm {
	j := func(a float64) arm.Joint { return arm.Joint{A: a, Min: -170 * degree, Max: 170 * degree} }
	return &arm.Arm{Name: "planar", Joints: []arm.Joint{j(400), j(300)}}
}

func track(t *testing.T, text string, a *arm.Arm) *Track {
	t.Helper()
	tr, err := read(strings.NewReader(text), "m.csv", a)
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

func near(a, b r3.Vec, tol float64) bool { return r3.Norm(r3.Sub(a, b)) <= tol }

func TestJointsAreInterpolatedLinearly(t *testing.T) {
	c := track(t, "t,j1,j2\n0,0,0\n2,90,-40\n4,90,60\n", twoJoints()).Cursor()
	for _, want := range []struct{ t, j1, j2 float64 }{{0, 0, 0}, {1, 45, -20}, {2, 90, -40}, {3, 90, 10}, {4, 90, 60}, {0.5, 22.5, -10}} {
		pose, q, ok := c.At(want.t)
		if !ok || math.Abs(q[0]-want.j1*degree) > 1e-12 || math.Abs(q[1]-want.j2*degree) > 1e-12 {
			t.Errorf("at %g: %v, %v", want.t, q, ok)
		}
		// The planar arm in closed form, as any textbook has it.
		a, b := want.j1*degree, (want.j1+want.j2)*degree
		p := r3.Vec{X: 400*math.Cos(a) + 300*math.Cos(b), Y: 400*math.Sin(a) + 300*math.Sin(b)}
		if !near(pose.T, p, 1e-9) {
			t.Errorf("at %g: flange at %v, want %v", want.t, pose.T, p)
		}
		elbow := r3.Vec{X: 400 * math.Cos(a), Y: 400 * math.Sin(a)}
		if f := c.Frames(); len(f) != 3 || f[2] != pose || !near(f[1].T, elbow, 1e-9) {
			t.Errorf("at %g: frames %v", want.t, f)
		}
	}
}

// Slerp by quaternion powers, q0 (q0^-1 q1)^s, with gonum's quaternions.
func TestPosesTurnAtAConstantRate(t *testing.T) {
	c := track(t, "t,x,y,z,qw,qx,qy,qz\n10,0,0,0,1,0,0,0\n11,10,20,-30,0.5,0.5,0.5,0.5\n12,10,20,-30,-0.5,-0.5,-0.5,-0.5\n", nil).Cursor()
	q1 := quat.Number{Real: 0.5, Imag: 0.5, Jmag: 0.5, Kmag: 0.5}
	for _, s := range []float64{0, 0.25, 0.5, 0.9, 1} {
		pose, q, ok := c.At(10 + s)
		if !ok || q != nil {
			t.Fatalf("at %g: %v, %v", s, q, ok)
		}
		w := quat.Scale(1, quat.PowReal(q1, s))
		want, err := geom.RotFromQuat(w.Real, w.Imag, w.Jmag, w.Kmag)
		if err != nil {
			t.Fatal(err)
		}
		for i := range 3 {
			if !near(pose.R.Axis(i), want.Axis(i), 1e-12) {
				t.Errorf("at %g: axis %d %v, want %v", s, i, pose.R.Axis(i), want.Axis(i))
			}
		}
		if !near(pose.T, r3.Vec{X: 10 * s, Y: 20 * s, Z: -30 * s}, 1e-12) {
			t.Errorf("at %g: %v", s, pose.T)
		}
	}
	// The quaternion's other sign is the same rotation: nothing turns.
	pose, _, _ := c.At(11.5)
	if d := pose.R.Mul(geom.RotFromRPY(0, 0, 0)); !near(d.Axis(0), r3.Vec{Y: 1}, 1e-12) {
		t.Errorf("x axis %v", d.Axis(0))
	}
}

func TestNothingIsExtrapolated(t *testing.T) {
	tr := track(t, "t,j1,j2\n5,0,0\n6,10,10\n", twoJoints())
	c := tr.Cursor()
	for _, at := range []float64{4.999999, 6.000001, math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, _, ok := c.At(at); ok {
			t.Errorf("an answer at %g", at)
		}
	}
	for _, at := range []float64{5, 6} {
		if _, _, ok := c.At(at); !ok {
			t.Errorf("no answer at %g", at)
		}
	}
}

func TestOneRowHoldsOneInstant(t *testing.T) {
	c := track(t, "t,j1,j2\n5,90,0\n", twoJoints()).Cursor()
	if pose, _, ok := c.At(5); !ok || !near(pose.T, r3.Vec{Y: 700}, 1e-9) {
		t.Errorf("%v %v", pose, ok)
	}
	if _, _, ok := c.At(5.1); ok {
		t.Error("an answer after the only row")
	}
}

// A cursor gives the same answer whatever was asked before.
func TestCursorForgetsTheWay(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	var text strings.Builder
	text.WriteString("t,x,y,z,qw,qx,qy,qz\n")
	for i := range 50 {
		w := geom.Exp(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}).Quat()
		for k, v := range []float64{float64(i) + 0.5*rng.Float64(), rng.Float64(), 2, 3, w[0], w[1], w[2], w[3]} {
			if k > 0 {
				text.WriteByte(',')
			}
			text.WriteString(formatted(v))
		}
		text.WriteByte('\n')
	}
	tr := track(t, text.String(), nil)
	first, last := tr.Span()
	c := tr.Cursor()
	for range 5000 {
		at := first + rng.Float64()*(last-first)
		if rng.IntN(2) == 0 {
			at = min(last, c.at+0.3*rng.Float64())
		}
		if math.IsNaN(at) {
			at = first
		}
		got, _, _ := c.At(at)
		if want, _, ok := tr.Cursor().At(at); !ok || got != want {
			t.Fatalf("at %g: %v, afresh %v", at, got, want)
		}
	}
}

func TestOverlapNamesBothFiles(t *testing.T) {
	tr := track(t, "t,j1,j2\n100,0,0\n160,10,10\n", twoJoints())
	for _, span := range [][2]float64{{90, 100}, {120, 130}, {160, 200}, {0, 1000}} {
		if err := tr.Overlap("s.ply", span[0], span[1]); err != nil {
			t.Error(err)
		}
	}
	for words, span := range map[string][2]float64{"never meet the motion in m.csv, 100 s to 160 s; let both": {0, 60}, "milliseconds": {100_000, 150_000}, "nanoseconds": {120e9, 150e9}} {
		err := tr.Overlap("s.ply", span[0], span[1])
		var f *fault.Error
		if !errors.As(err, &f) || !strings.Contains(f.Error(), words) || f.File != "s.ply" {
			t.Errorf("got %v, want %s", err, words)
		}
	}
}

func BenchmarkJointsAt(b *testing.B) {
	a := twoJoints()
	for range 4 {
		a.Joints = append(a.Joints, a.Joints[0])
	}
	tr, err := read(strings.NewReader("t,j1,j2,j3,j4,j5,j6\n0,0,0,0,0,0,0\n1e6,90,80,70,60,50,40\n"), "m.csv", a)
	if err != nil {
		b.Fatal(err)
	}
	c, at := tr.Cursor(), 0.0
	for b.Loop() {
		at++
		if at > 1e6 {
			at = 0
		}
		c.At(at)
	}
}

func TestLikeRadians(t *testing.T) {
	for text, want := range map[string]bool{
		"t,j1,j2\n0,0.5,-1.57\n2,3.14,-0.7\n":    true,
		"t,j1,j2\n0,0.5,-1.57\n2,30,-0.7\n":      false,
		"t,x,y,z,qw,qx,qy,qz\n0,1,2,3,1,0,0,0\n": false,
	} {
		if got := track(t, text, twoJoints()).LikeRadians(); got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}

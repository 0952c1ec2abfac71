package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/num/quat"
	"gonum.org/v1/gonum/spatial/r3"
)

const deg = math.Pi / 180

func randomVec(rng *rand.Rand) r3.Vec {
	return r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
}

func about(axis r3.Vec, angleDeg float64) Rot { return Exp(r3.Scale(angleDeg*deg, axis)) }

// apart is the largest difference of two matrices' entries.
func apart(a, b Rot) float64 {
	var m float64
	for i := range a {
		for j := range a[i] {
			m = max(m, math.Abs(a[i][j]-b[i][j]))
		}
	}
	return m
}

// Angles 10, 20, 30 degrees about the axes of each sequence, computed with
// numpy from the elementary rotations.
func TestEulerSequences(t *testing.T) {
	x, y, z := r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	for _, c := range []struct {
		name string
		got  Rot
		want [][3]float64
	}{
		{"ZYX", RotFromRPY(30*deg, 20*deg, 10*deg),
			[][3]float64{{.925417, .018028, .378522}, {.163176, .882564, -.440970}, {-.342020, .469846, .813798}}},
		{"ZYX from turns", about(z, 10).Mul(about(y, 20)).Mul(about(x, 30)),
			[][3]float64{{.925417, .018028, .378522}, {.163176, .882564, -.440970}, {-.342020, .469846, .813798}}},
		{"ZYZ", about(z, 10).Mul(about(y, 20)).Mul(about(z, 30)), [][3]float64{{.714610, -.613092, .336824}}},
		{"XYZ", about(x, 10).Mul(about(y, 20)).Mul(about(z, 30)), [][3]float64{{.813798, -.469846, .342020}}},
	} {
		for i, row := range c.want {
			for j, want := range row {
				if math.Abs(c.got[i][j]-want) > 5.1e-7 { // six decimals are given
					t.Errorf("%s: R[%d][%d] = %.7f, want %.6f", c.name, i, j, c.got[i][j], want)
				}
			}
		}
	}
}

func TestRPYReturnsTheRotation(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		roll, pitch, yaw := (rng.Float64()-.5)*2*math.Pi, (rng.Float64()-.5)*math.Pi, (rng.Float64()-.5)*2*math.Pi
		r, p, y := RotFromRPY(roll, pitch, yaw).RPY()
		if math.Abs(r-roll) > 1e-9 || math.Abs(p-pitch) > 1e-9 || math.Abs(y-yaw) > 1e-9 {
			t.Fatalf("RPY gave %g %g %g for %g %g %g", r, p, y, roll, pitch, yaw)
		}
	}
}

func TestRPYAtTheGimbal(t *testing.T) {
	for _, pitch := range []float64{90, -90} {
		for _, near := range []float64{0, 1e-12, 1e-10, 1e-7, 1e-5} {
			for yaw := -180.0; yaw <= 180; yaw += 45 {
				want := RotFromRPY(25*deg, (pitch-math.Copysign(near, pitch))*deg, yaw*deg)
				r, p, y := want.RPY()
				// Where the cosine of the pitch is lost in rounding, roll and yaw
				// share what is left: a nanoradian.
				if d := apart(RotFromRPY(r, p, y), want); d > 2e-8 {
					t.Errorf("pitch %g less %g, yaw %g: rebuilt rotation is off by %g", pitch, near, yaw, d)
				}
			}
		}
		if r, _, _ := RotFromRPY(25*deg, pitch*deg, 0).RPY(); r != 0 {
			t.Errorf("roll is %g at pitch %g, want 0", r, pitch)
		}
	}
}

// gonum's quaternion exponential turns vectors independently of this package.
func TestExpAgainstGonumQuaternions(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	for i := range 2000 {
		w := r3.Scale(math.Pow(10, 1-float64(i%16)), randomVec(rng))
		v := randomVec(rng)
		q := quat.Exp(quat.Number{Imag: w.X / 2, Jmag: w.Y / 2, Kmag: w.Z / 2})
		turned := quat.Mul(quat.Mul(q, quat.Number{Imag: v.X, Jmag: v.Y, Kmag: v.Z}), quat.Conj(q))
		got := Exp(w).Apply(v)
		want := r3.Vec{X: turned.Imag, Y: turned.Jmag, Z: turned.Kmag}
		if d := r3.Norm(r3.Sub(got, want)); d > 1e-13*(1+r3.Norm(w)) {
			t.Fatalf("Exp(%v) turns %v to %v, gonum to %v", w, v, got, want)
		}
	}
}

func TestLogInvertsExp(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for _, angle := range []float64{0, 1e-14, 1e-9, 1e-6, .1, 1, 3, math.Pi - 1e-6, math.Pi - 1e-9, math.Pi} {
		for range 200 {
			w := r3.Scale(angle, r3.Unit(randomVec(rng)))
			back := Exp(w).Log()
			d := r3.Norm(r3.Sub(back, w))
			if angle > math.Pi-1e-8 { // w and -w are one rotation there
				d = min(d, r3.Norm(r3.Add(back, w)))
			}
			if d > 1e-12+1e-15/math.Max(angle, 1e-3) {
				t.Fatalf("Log(Exp(%v)) = %v", w, back)
			}
		}
	}
}

func TestQuatTakesTheLargestOfFour(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	check := func(q [4]float64) {
		r, err := RotFromQuat(q[0], q[1], q[2], q[3])
		if err != nil {
			t.Fatal(err)
		}
		got := r.Quat()
		dot := got[0]*q[0] + got[1]*q[1] + got[2]*q[2] + got[3]*q[3]
		if math.Abs(math.Abs(dot)-1) > 1e-14 || got[0] < 0 {
			t.Errorf("Quat of the rotation of %v is %v", q, got)
		}
	}
	for i := range 4 { // half turns and none, and their neighbours, where three of the four vanish
		for _, e := range []float64{0, 1e-12, 1e-8, 1e-4} {
			q := [4]float64{e, e, e, e}
			q[i] = math.Sqrt(1 - 3*e*e)
			check(q)
		}
	}
	for range 1000 {
		q := [4]float64{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}
		n := math.Sqrt(q[0]*q[0] + q[1]*q[1] + q[2]*q[2] + q[3]*q[3])
		check([4]float64{q[0] / n, q[1] / n, q[2] / n, q[3] / n})
	}
}

func TestRotFromQuatRefusesOtherLengths(t *testing.T) {
	for _, q := range [][4]float64{{}, {2, 0, 0, 0}, {.9, 0, 0, 0}, {math.NaN(), 0, 0, 1}, {math.Inf(1), 0, 0, 0}} {
		if r, err := RotFromQuat(q[0], q[1], q[2], q[3]); err == nil {
			t.Errorf("RotFromQuat(%v) = %v without an error", q, r)
		}
	}
	r, err := RotFromQuat(.707107, 0, 0, .707107) // six decimals, as files have them
	if err != nil {
		t.Fatal(err)
	}
	if d := apart(r, about(r3.Vec{Z: 1}, 90)); d > 1e-15 {
		t.Errorf("a quarter turn about Z in six decimals is off by %g", d)
	}
}

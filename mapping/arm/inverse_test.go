package arm_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cellwall/mapping/arm"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// There and back: the flange's pose at random joint angles, solved from angles
// up to 0.3 rad away on every joint, is reached again within 1e-6 mm. The way
// there is held to published postures and to KDL elsewhere.
func TestSolveReachesWhatJointsReached(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	trials := 10_000
	if testing.Short() {
		trials = 1000
	}
	for _, a := range []*arm.Arm{puma(), pumaModified(), sevenAxis(), coupled()} {
		failed, worst := 0, 0.0
		for range trials / 4 {
			q := make([]float64, len(a.Joints))
			from := make([]float64, len(a.Joints))
			for i := range q {
				q[i] = (rng.Float64() - 0.5) * 2 * math.Pi
				from[i] = q[i] + 0.6*(rng.Float64()-0.5)
			}
			want := a.Flange(q)
			got, err := a.Solve(want, from)
			if err != nil {
				failed++
				continue
			}
			d := a.Flange(got).Minus(want)
			worst = max(worst, norm([6]float64{d[0], d[1], d[2]}), 1000*norm([6]float64{3: d[3], 4: d[4], 5: d[5]}))
		}
		t.Logf("%s: worst %.1e mm or urad, %d of %d not solved", a.Name, worst, failed, trials/4)
		if worst > 1e-6 || failed > 0 {
			t.Errorf("%s: worst %g, %d not solved", a.Name, worst, failed)
		}
	}
}

func coupled() *arm.Arm {
	a := puma()
	a.Name = "coupled"
	a.Couplings = []arm.Coupling{{Joint: 2, Follows: 1, Factor: -1}}
	return a
}

func TestSolveSaysWhatIsOutOfReach(t *testing.T) {
	a := puma()
	far := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 5000}}
	_, err := a.Solve(far, make([]float64, 6))
	if !errors.Is(err, arm.ErrOutOfReach) || !strings.Contains(err.Error(), "mm") {
		t.Errorf("five metres away: %v", err)
	}
	if _, err := a.Solve(far, nil); err == nil {
		t.Error("no joint angles are taken for six")
	}
	if _, err := a.Solve(geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: math.NaN()}}, make([]float64, 6)); err == nil {
		t.Error("a pose that is no number is reached")
	}
}

// The axes are what the joints turn about: a small turn of one joint moves the
// flange as its axis says.
func TestAxesAreWhatJointsTurnAbout(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	free := &arm.Arm{Name: "free", Convention: arm.Free}
	for range 6 {
		v := func(s float64) r3.Vec {
			return r3.Scale(s, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		}
		free.Joints = append(free.Joints, arm.Joint{Before: geom.Pose{R: geom.Exp(v(1)), T: v(200)}, After: geom.Pose{R: geom.Exp(v(1)), T: v(200)}, Axis: r3.Unit(v(1))})
	}
	for _, a := range []*arm.Arm{puma(), pumaModified(), sevenAxis(), free} {
		q := make([]float64, len(a.Joints))
		for i := range q {
			q[i] = 4 * (rng.Float64() - 0.5)
		}
		frames := a.Frames(q, nil)
		axes := a.Axes(frames, nil)
		at := frames[len(q)].T
		for i, x := range axes {
			const turn = 1e-4
			moved := append([]float64(nil), q...)
			moved[i] += turn
			way := geom.Exp(r3.Scale(turn, x.Along)).Apply(r3.Sub(at, x.Point))
			if d := r3.Norm(r3.Sub(a.Flange(moved).T, r3.Add(x.Point, way))); d > 1e-9 {
				t.Errorf("%s: joint %d moves the flange %g mm from where its axis says", a.Name, i+1, d)
			}
		}
	}
}

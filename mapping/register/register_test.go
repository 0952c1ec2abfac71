package register

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

var usual = Rough{Shift: 300, Turn: 10 * deg}

// tripod is a still scan of the sheets, moved away from where it was taken; back
// is the motion that places it.
func tripod(of []sheet, away geom.Pose, rng *rand.Rand) (s Scan, eye r3.Vec, back geom.Pose) {
	return seenFrom(tripodEye, of, away, 1, rng), away.Apply(tripodEye), away.Inverse()
}

// The truth is the room itself, and rigid motions within what rough allows.
func TestPlacesWhereItWasTaken(t *testing.T) {
	room := join([]sheet{floor, wallX, wallY}, crate)
	var inside, all int
	const trials = 5
	for i := range uint64(trials) {
		rng := rand.New(rand.NewPCG(i, 1))
		arm := armScans(4, room, 0.15, rng)
		away := about(tripodEye, r3.Scale(300*rng.Float64(), r3.Unit(normal3(rng, 1))), r3.Scale(10*deg*rng.Float64(), r3.Unit(normal3(rng, 1))))
		still, eye, back := tripod(room, away, rng)
		p, err := Place(arm, still, eye, usual, 0)
		if err != nil {
			t.Errorf("trial %d: %v", i, err)
			continue
		}
		shift := r3.Sub(p.Motion.Apply(eye), tripodEye)
		turn := p.Motion.R.Mul(back.R.T()).Log()
		if r3.Norm(shift) > 1 || r3.Norm(turn) > 0.05*deg {
			t.Errorf("trial %d: off by %.2f mm and %.3f deg", i, r3.Norm(shift), r3.Norm(turn)/deg)
		}
		s, r := p.Cov.SigmaT(), p.Cov.SigmaR()
		for _, z := range []float64{shift.X / s.X, shift.Y / s.Y, shift.Z / s.Z, turn.X / r.X, turn.Y / r.Y, turn.Z / r.Z} {
			all++
			if math.Abs(z) < 1.96 {
				inside++
			}
		}
	}
	// 95 % of 30, four deviations of a binomial draw below: not a close test, but
	// one that an interval half as wide as it should be does not pass.
	if inside < 24 {
		t.Errorf("%d of %d intervals of 95 %% hold the truth", inside, all)
	}
}

func TestRefusesWhatIsNotTold(t *testing.T) {
	lockers := func(n int) (out []sheet) { // one like the other, 240 mm from one to the next
		for i := range n {
			out = append(out, box(xyz(-1500+240*float64(i), 1000, 0), xyz(160, 200, 900))...)
		}
		return out
	}
	strip := sheet{xyz(-1700, 200, 0), xyz(2500, 0, 0), xyz(0, 780, 0)} // of floor before them
	for _, c := range []struct {
		name         string
		arm, still   []sheet
		rough        Rough
		words, never []string
	}{
		{"one wall", []sheet{wallX}, []sheet{wallX}, usual, []string{"leave open", "base Y", "base Z", "a turn about base X"}, []string{"shift along base X"}},
		{"floor alone", []sheet{floor}, []sheet{floor}, usual, []string{"leave open", "base X", "base Y", "a turn about base Z"}, []string{"shift along base Z"}},
		{"two parallel walls and the floor", []sheet{floor, wallY, facing}, []sheet{floor, wallY, facing}, usual, []string{"leave open a shift along base X"}, []string{"turn"}},
		{"a row of lockers, of which the arm sees some", join([]sheet{strip}, lockers(6)[5:]), join([]sheet{strip}, lockers(11)), usual, []string{"two placements fit alike"}, nil},
		{"another room", join([]sheet{floor, wallX}, crate), join([]sheet{floor, wallY}, box(xyz(-900, 300, 0), xyz(300, 900, 1100))), usual, nil, nil},
		{"nothing in common", []sheet{wallX, wallY}, crate, usual, nil, nil},
	} {
		rng := rand.New(rand.NewPCG(3, 1))
		still, eye, _ := tripod(c.still, about(tripodEye, xyz(60, -40, 50), xyz(0.02, -0.03, 0.05)), rng)
		p, err := Place(armScans(4, c.arm, 0.15, rng), still, eye, c.rough, 0)
		var why *Refusal
		if !errors.As(err, &why) {
			t.Errorf("%s: placed by %+v, error %v", c.name, p, err)
			continue
		}
		for _, w := range c.words {
			if !strings.Contains(why.Reason, w) {
				t.Errorf("%s: %q lacks %q", c.name, why.Reason, w)
			}
		}
		for _, w := range c.never {
			if strings.Contains(why.Reason, w) {
				t.Errorf("%s: %q has %q", c.name, why.Reason, w)
			}
		}
	}
}

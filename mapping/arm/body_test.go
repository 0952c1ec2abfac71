package arm_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/arm"

	"gonum.org/v1/gonum/spatial/r3"
)

// dressed is the Puma with a capsule per moving link, one of them a ball.
func dressed() *arm.Arm {
	a := puma()
	a.Capsules = []arm.Capsule{
		{Frame: 0, From: r3.Vec{Z: -300}, To: r3.Vec{}, Radius: 120},
		{Frame: 2, From: r3.Vec{X: -431.8}, To: r3.Vec{}, Radius: 90},
		{Frame: 4, From: r3.Vec{Y: -431.8}, To: r3.Vec{}, Radius: 70},
		{Frame: 6, From: r3.Vec{Z: 60}, To: r3.Vec{Z: 60}, Radius: 55},
	}
	return a
}

// A point at radius r from a capsule's axis is inside exactly when r is at most
// the grown radius: points are laid out in the capsule's own frame and carried
// to the base by the kinematics that the published postures hold.
func TestInsideFollowsTheLinks(t *testing.T) {
	a := dressed()
	rng := rand.New(rand.NewPCG(1, 2))
	for trial := range 200 {
		q := make([]float64, 6)
		for i := range q {
			q[i] = (rng.Float64() - 0.5) * 2 * math.Pi
		}
		frames := a.Frames(q, nil)
		c := a.Capsules[trial%len(a.Capsules)]
		alone := *a
		alone.Capsules = []arm.Capsule{c}
		on := r3.Add(c.From, r3.Scale(rng.Float64(), r3.Sub(c.To, c.From)))
		side := r3.Cross(r3.Sub(c.To, c.From), r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		if r3.Norm(side) == 0 {
			side = r3.Vec{X: 1}
		}
		side = r3.Unit(side)
		for _, grow := range []float64{0, 7} {
			in := frames[c.Frame].Apply(r3.Add(on, r3.Scale(c.Radius+grow-1e-6, side)))
			out := frames[c.Frame].Apply(r3.Add(on, r3.Scale(c.Radius+grow+1e-6, side)))
			if !alone.Inside(frames, in, grow) || !a.Inside(frames, in, grow) {
				t.Fatalf("capsule of frame %d grown by %g does not hold a point 1 nm inside it", c.Frame, grow)
			}
			if alone.Inside(frames, out, grow) {
				t.Fatalf("capsule of frame %d grown by %g holds a point 1 nm outside it", c.Frame, grow)
			}
		}
		beyond := frames[c.Frame].Apply(r3.Add(c.To, r3.Scale(c.Radius+1e-6, axis(c))))
		if alone.Inside(frames, beyond, 0) {
			t.Fatalf("capsule of frame %d holds a point beyond its end", c.Frame)
		}
	}
}

func axis(c arm.Capsule) r3.Vec {
	if c.To == c.From {
		return r3.Vec{Z: 1}
	}
	return r3.Unit(r3.Sub(c.To, c.From))
}

// What the flange carries moves with it, however the arm came to be there.
func TestHandIsWhatTheFlangeCarries(t *testing.T) {
	a := dressed()
	q := []float64{.3, -.7, .4, .2, 1.1, -.6}
	frames := a.Frames(q, nil)
	hand, body := a.Hand(frames[6], arm.Body{}), a.Body(frames, arm.Body{})
	rng := rand.New(rand.NewPCG(5, 6))
	for range 2000 {
		p := r3.Add(frames[6].T, r3.Vec{X: 100 * rng.NormFloat64(), Y: 100 * rng.NormFloat64(), Z: 100 * rng.NormFloat64()})
		ball := r3.Norm(r3.Sub(p, frames[6].Apply(r3.Vec{Z: 60}))) <= 55
		if hand.Holds(p, 0) != ball {
			t.Fatalf("the hand holds %v: %v, its one ball: %v", p, !ball, ball)
		}
		if ball && !body.Holds(p, 0) {
			t.Fatalf("%v is in the hand and not in the arm", p)
		}
	}
	if elbow := frames[2].T; hand.Holds(elbow, 0) || !body.Holds(elbow, 0) {
		t.Error("the elbow belongs to the arm and not to its hand")
	}
}

func TestBodyIsReusedWithoutLeftovers(t *testing.T) {
	a := dressed()
	bent := a.Frames([]float64{0, 1, 0, 0, 0, 0}, nil)
	b := a.Body(bent, arm.Body{})
	b = a.Body(a.Frames(make([]float64, 6), nil), b)
	if gone := bent[2].T; b.Holds(gone, 0) {
		t.Errorf("the body still holds %v, where the elbow was before", gone)
	}
	var empty arm.Body
	if empty.Holds(r3.Vec{}, 1e9) {
		t.Error("an empty body holds a point")
	}
}

func BenchmarkBodyHolds(b *testing.B) {
	a := dressed()
	body := a.Body(a.Frames(make([]float64, 6), nil), arm.Body{})
	p := r3.Vec{X: 1500, Y: 200, Z: 300}
	for b.Loop() {
		body.Holds(p, 5)
	}
}

package vise

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping"

	"gonum.org/v1/gonum/spatial/r3"
)

// A mount that is shifted shifts what a single sweep saw by as much, in whatever
// direction; sweeps from opposite sides it shifts against each other, so that across
// them little of it remains, and upward all. A mount that is turned shifts by the
// distance.
func TestMountMovesTheJawsAsItMovesTheSweeps(t *testing.T) {
	t.Parallel()
	b := plain()
	passes := threePasses(b)
	across := passes[0] // the first from the other side
	mid := b.truth.middle()
	for _, p := range []*r3.Vec{&across.from, &across.to} {
		d := r3.Sub(*p, mid)
		*p = r3.Add(mid, r3.Vec{X: -d.X, Y: -d.Y, Z: d.Z})
	}
	quiet := flaws{noise: 0.1, declared: 0.1}
	mount := func(by mapping.Rigid, sweeps ...sweep) (side, up float64) {
		c := b.scan(sweeps, quiet, rand.New(rand.NewPCG(8, 8)))
		for range sweeps {
			c.Mount = append(c.Mount, by)
		}
		found, refused := Locate(c, plainWant, benchPlace(b))
		if refused != nil {
			t.Fatalf("refused %+v", *refused)
		}
		m := found[0].Mount
		return math.Sqrt((m[0][0] + m[1][1]) / 2), math.Sqrt(m[2][2])
	}
	shift := mapping.Rigid{Shift: 0.2}
	if side, up := mount(shift, passes[0]); math.Abs(side-0.2) > 0.02 || math.Abs(up-0.2) > 0.02 {
		t.Errorf("one sweep: %.3f mm sideways, %.3f mm up, want the mount's 0.2", side, up)
	}
	if side, up := mount(shift, passes[0], across); side > 0.12 || up < 0.17 || up > 0.21 {
		t.Errorf("sweeps from both sides: %.3f mm sideways, %.3f mm up of the mount's 0.2", side, up)
	}
	far := r3.Norm(r3.Sub(r3.Scale(0.5, r3.Add(passes[0].from, passes[0].to)), mid))
	if side, _ := mount(mapping.Rigid{Turn: 0.0005}, passes[0]); side < 0.0003*far || side > 0.0006*far {
		t.Errorf("turned by 0.0005 at %.0f mm: %.3f mm sideways", far, side)
	}
	if side, up := mount(mapping.Rigid{}, passes[0]); side != 0 || up != 0 {
		t.Errorf("a mount that is known adds %.3g and %.3g mm", side, up)
	}
}

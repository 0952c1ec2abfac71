package reach

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"testing"

	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

// states of a cube of 4 m about the base, in voxels of 40 mm, all alike.
func states(t *testing.T, state space.State) *space.States {
	t.Helper()
	const n = 100
	var b bytes.Buffer
	fmt.Fprintf(&b, `{"format":%q,"frame":"base","voxel_mm":40,"origin_mm":[-2000,-2000,-2000],"count":[%d,%d,%d]}`+"\n", space.Format, n, n, n)
	b.Write(binary.AppendUvarint(nil, n*n*n<<3|uint64(state)))
	s, err := space.Read(&b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// layered are the states of the same cube, unseen below the base and clear above.
func layered(t *testing.T) *space.States {
	t.Helper()
	const n = 100
	var b bytes.Buffer
	fmt.Fprintf(&b, `{"format":%q,"frame":"base","voxel_mm":40,"origin_mm":[-2000,-2000,-2000],"count":[%d,%d,%d]}`+"\n", space.Format, n, n, n)
	for _, state := range [2]space.State{space.Unseen, space.Clear} {
		b.Write(binary.AppendUvarint(nil, n*n*n/2<<3|uint64(state)))
	}
	s, err := space.Read(&b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func sweepOf(t *testing.T, c *Checker, from, to float64) Move {
	t.Helper()
	moves, err := c.Moves(context.Background(), program(turned(from), turned(to)))
	if err != nil {
		t.Fatal(err)
	}
	return moves[1]
}

// Nobody looked anywhere, but the arm has turned from -80 to 0 deg and stood at
// 90: that way is clear, any further one is not, and not the ways between.
func TestWhereTheArmHasBeenIsSeen(t *testing.T) {
	c := mustChecker(t, mast(), &scene.Scene{})
	for a := -80.0; a <= 0; a += 0.1 {
		c.Been([]float64{a * degrees})
	}
	c.Been([]float64{90 * degrees})
	c.Look(states(t, space.Unseen))
	for _, x := range []struct {
		from, to float64
		want     Verdict
		at       float64
	}{
		{-80, 0, Clear, 0}, {0, -80, Clear, 0}, {-33.3, -12.7, Clear, 0}, {90, 90, Clear, 0},
		// The ball's rim leaves what it has swept as soon as it turns past 0.
		{-80, 80, IntoUnseen, .5}, {-80, 10, IntoUnseen, 80. / 90}, {90, 80, IntoUnseen, 0}, {45, 45, IntoUnseen, 0.5},
	} {
		m := sweepOf(t, c, x.from, x.to)
		if m.Verdict != x.want {
			t.Errorf("from %g to %g deg: %s, want %s", x.from, x.to, m.Verdict, x.want)
		}
		// Within a grain: 10 mm on a circle of 1000.
		if x.want == IntoUnseen && x.from != x.to && math.Abs(m.Unseen.At-x.at)*math.Abs(x.to-x.from)*degrees*1000 > 15 {
			t.Errorf("from %g to %g deg: unseen at %g, want %g", x.from, x.to, m.Unseen.At, x.at)
		}
	}
}

func TestSeenSpaceIsClearAndBeyondItIsNot(t *testing.T) {
	c := mustChecker(t, mast(), &scene.Scene{})
	c.Look(states(t, space.Clear))
	if m := sweepOf(t, c, -80, 80); m.Verdict != Clear {
		t.Errorf("through clear space: %s", m.Verdict)
	}
	c.Look(layered(t))
	if m := sweepOf(t, c, -80, 80); m.Verdict != Clear {
		t.Errorf("500 mm over unseen space: %s", m.Verdict)
	}
	c.Look(states(t, space.Clear))
	at := func(grow float64) bool {
		var x placed
		ball := piece{corners: make([]r3.Vec, 2), radius: 90}
		ball.put(geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1900}}, &x)
		return c.unseen(&x, grow)
	}
	if at(0) || !at(20) {
		t.Error("the states end at 2000 mm, and nothing is known beyond")
	}
	c.Look(states(t, space.Unseen))
	m := sweepOf(t, c, -80, 80)
	if m.Verdict != IntoUnseen {
		t.Fatalf("where nobody looked and the arm has not been: %s", m.Verdict)
	}
	// A ball of 50 mm on an arc of 160 deg of 1000 mm: Pappus, and half a ball at
	// either end. The ball is five voxels' middles thick at most, so a fifth is as
	// near as it can be told.
	want := math.Pi*50*50*1000*160*degrees + 4./3*math.Pi*50*50*50
	if math.Abs(m.Unseen.Volume/want-1) > 0.2 {
		t.Errorf("%g mm^3 of unseen space, want %g", m.Unseen.Volume, want)
	}
	lo, hi := m.Unseen.Within.Min, m.Unseen.Within.Max
	if math.Abs(lo.Y+1000) > 60 || math.Abs(hi.Y-1000) > 60 || math.Abs(hi.X-1050) > 40 || math.Abs(lo.Z-450) > 40 {
		t.Errorf("between %v and %v", lo, hi)
	}
}

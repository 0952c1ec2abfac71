package scout

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"testing"

	"cellwall/fit"
	"cellwall/mapping/arm"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/reach"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

// voxel is the edge of the tests' voxels, mm; across is how many there are
// along X and Y about the base, tall along Z.
const voxel, across, tall = 50., 40, 20

// states of a room by the state of every voxel's middle, all of it in reach.
func states(t *testing.T, of func(p r3.Vec) space.State) *space.States {
	t.Helper()
	var b bytes.Buffer
	corner := -voxel * across / 2
	fmt.Fprintf(&b, `{"format":%q,"frame":"base","voxel_mm":%g,"origin_mm":[%g,%g,0],"count":[%d,%d,%d]}`+"\n", space.Format, voxel, corner, corner, across, across, tall)
	for z := range tall {
		for y := range across {
			for x := range across {
				p := r3.Vec{X: corner + voxel*(float64(x)+.5), Y: corner + voxel*(float64(y)+.5), Z: voxel * (float64(z) + .5)}
				b.Write(binary.AppendUvarint(nil, 1<<3|1<<2|uint64(of(p))))
			}
		}
	}
	s, err := space.Read(&b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// mast is a scanner half a metre up that looks outward along X and turns about
// the base's Z, its line upright, in a room of these states.
func mast(t *testing.T, of func(p r3.Vec) space.State) *Cell {
	t.Helper()
	a := &arm.Arm{Joints: []arm.Joint{{D: 500, A: 100, Min: -math.Pi, Max: math.Pi}}, Capsules: []arm.Capsule{{Frame: 1, Radius: 40}}}
	check, err := reach.NewChecker(a, &scene.Scene{Objects: []scene.Object{{Object: fit.Object{Name: "nothing", Kind: fit.Block}}}})
	if err != nil {
		t.Fatal(err)
	}
	s := states(t, of)
	check.Look(s)
	out := geom.RotFromAxes(r3.Vec{Z: -1}, r3.Vec{Y: 1}, r3.Vec{X: 1}) // the line upright, the ray along the flange's X
	return &Cell{Arm: a, States: s, Check: check, Homes: [][]float64{{0}},
		Scanner: cell.Scanner{FlangeFromScanner: geom.Pose{R: out}, Fan: math.Pi / 3, Range: [2]float64{0, math.Inf(1)}}}
}

// yard is clear to 600 mm from the mast and unseen beyond; a wall stands at
// x = 800 mm or beyond.
func yard(p r3.Vec) space.State {
	switch {
	case p.X > 800:
		return space.Solid
	case math.Hypot(p.X, p.Y) < 600:
		return space.Clear
	}
	return space.Unseen
}

func gainOf(t *testing.T, c *Cell, from, to float64) float64 {
	t.Helper()
	v, err := newViewer(c)
	if err != nil {
		t.Fatal(err)
	}
	return v.gain(&candidate{Sweep: Sweep{From: []float64{from}, To: []float64{to}}})
}

// TestGainIsTheUnseenThatRaysGetTo holds the gain of a sweep toward the wall
// against the volume of the unseen voxels between 600 mm from the mast and the
// wall, within the sweep's wedge and the line's angle, by their middles.
func TestGainIsTheUnseenThatRaysGetTo(t *testing.T) {
	c := mast(t, yard)
	const turn = 0.5
	volume := 0.0
	c.States.UnseenInReach(func(at [3]int) {
		p := c.States.Lattice.Centre(at)
		far := math.Hypot(p.X, p.Y) - 100
		if p.X > 0 && math.Abs(math.Atan2(p.Y, p.X)) < turn && math.Abs(p.Z-500) < far*math.Tan(math.Pi/6) {
			volume += math.Pow(voxel/1000, 3)
		}
	})
	got := gainOf(t, c, -turn, turn)
	// The middles of voxels that the wedge's border cuts: half a voxel round
	// 0.9 m by 1 m; and a ray goes on with the chance that openness tells.
	if got > 1.25*volume || got < 0.6*volume {
		t.Errorf("%.3f m3, the wedge holds %.3f", got, volume)
	}
	if away := gainOf(t, c, math.Pi-turn, math.Pi); away <= 0 {
		t.Errorf("a sweep the other way gains %g", away)
	}
}

func TestGainEndsAtWhatIsSolidAndInRange(t *testing.T) {
	fenced := func(p r3.Vec) space.State {
		if h := math.Hypot(p.X, p.Y); h > 480 && h < 620 {
			return space.Solid
		}
		return yard(p)
	}
	if got := gainOf(t, mast(t, fenced), -1, 1); got != 0 {
		t.Errorf("%g m3 were seen behind what is solid", got)
	}
	short := mast(t, yard)
	short.Scanner.Range[1] = 300
	if got := gainOf(t, short, -1, 1); got != 0 {
		t.Errorf("%g m3 were seen by rays that give no return", got)
	}
}

// TestProposeTakesNothingTwice: one turn all round sees what there is, and no
// second sweep is worth adding.
func TestProposeTakesNothingTwice(t *testing.T) {
	plan, err := Propose(t.Context(), mast(t, yard), 3)
	if err != nil {
		t.Fatal(err)
	}
	if len(plan.Sweeps) != 1 || plan.Sweeps[0].To[0]-plan.Sweeps[0].From[0] < 6 || plan.Sweeps[0].Blind {
		t.Errorf("%+v", plan.Sweeps)
	}
}

func TestProposeRefusesWhereNothingIsKnown(t *testing.T) {
	if _, err := Propose(t.Context(), mast(t, func(r3.Vec) space.State { return space.Unseen }), 1); err == nil {
		t.Error("sweeps were proposed for a map without states")
	}
	c := mast(t, yard)
	c.Scanner.Fan = 0
	if _, err := Propose(t.Context(), c, 1); err == nil {
		t.Error("sweeps were proposed for a scanner whose line is not known")
	}
}

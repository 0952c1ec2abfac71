package scene

import (
	"bytes"
	"fmt"
	"testing"

	"cellwall/fit"
	"cellwall/scene/space"

	"gonum.org/v1/gonum/spatial/r3"
)

// known gives the world states of space: 100 mm voxels from (-500, -500, -500)
// on, 30 a side, clear where it says so and unseen elsewhere, by way of the file
// that states are kept in.
func (w *world) known(t *testing.T, clear func(p r3.Vec) bool) {
	t.Helper()
	file := bytes.NewBufferString(`{"format":"cellwall.space/1","frame":"base","voxel_mm":100,"origin_mm":[-500,-500,-500],"count":[30,30,30]}` + "\n")
	for i := range 30 * 30 * 30 {
		p := r3.Vec{X: -450 + 100*float64(i%30), Y: -450 + 100*float64(i/30%30), Z: -450 + 100*float64(i/900)}
		run := byte(1 << 3)
		if clear(p) {
			run |= byte(space.Clear)
		}
		file.WriteByte(run)
	}
	var err error
	if w.states, err = space.Read(file); err != nil {
		t.Fatal(err)
	}
}

// A table top of which only the upper side was seen: with clear space from 20 mm
// under it on it is that thick, with unseen space under it as thick as a slab.
func TestSlabEndsWhereSpaceIsClear(t *testing.T) {
	for _, c := range []struct {
		clear bool
		want  float64
	}{{true, 20}, {false, 50}} {
		t.Run(fmt.Sprint("clear ", c.clear), func(t *testing.T) {
			var w world
			w.known(t, func(p r3.Vec) bool { return c.clear && p.Z < 800 })
			w.object(fit.Table, w.patch(r3.Vec{Z: 820}, r3.Vec{X: 1000}, r3.Vec{Y: 600}, r3.Vec{X: 500, Y: 300, Z: 2500}, nil))
			s := w.build(t)
			w.checkHeld(t, s)
			top := object(t, s, fit.Table)
			if v := volume(top.Solids); !closeTo(v, 1000*600*c.want, 10) {
				t.Errorf("%g mm thick, want %g", v/1000/600, c.want)
			}
			if !c.clear {
				if st := w.states.State(r3.Vec{X: 500, Y: 300, Z: 600}); st != space.Unseen {
					t.Errorf("what nobody saw under the top is %v", st)
				}
			}
			// Grown by 20 mm the solid comes down to 780, half of no voxel.
			if top.ClearTaken > 0 {
				t.Errorf("it takes %g m3 of clear space", top.ClearTaken)
			}
		})
	}
}

// A gap of the floor that no line of sight of the cloud went through, but whose
// space is clear, stays open.
func TestGapStaysOpenWhereSpaceIsClear(t *testing.T) {
	var w world
	w.known(t, func(p r3.Vec) bool { return p.X > 300 && p.X < 700 && p.Y > 300 && p.Y < 700 })
	s := w.patch(r3.Vec{Z: 20}, r3.Vec{X: 2000}, r3.Vec{Y: 1000}, above, func(a, b float64) bool {
		return a > 300 && a < 700 && b > 300 && b < 700
	})
	s.Holes = [][]r3.Vec{{{X: 300, Y: 300, Z: 20}, {X: 300, Y: 700, Z: 20}, {X: 700, Y: 700, Z: 20}, {X: 700, Y: 300, Z: 20}}}
	w.object(fit.Floor, s)
	built := w.build(t)
	w.checkHeld(t, built)
	if built.blocked(r3.Vec{X: 500, Y: 500, Z: 0}) {
		t.Error("the gap was filled")
	}
}

// Loose voxels round clear space: one solid round all of them would be tight
// enough for their own coarse grid, but takes what is known to be clear.
func TestHullIsSplitWhereItSwallowsClearSpace(t *testing.T) {
	solids := func(clear bool) (n int, taken float64) {
		var w world
		w.known(t, func(p r3.Vec) bool { return clear && p.X > 300 && p.X < 900 })
		for _, x := range []float64{0, 240, 480, 720, 960, 1200} { // a voxel every two cells of its grid
			i := w.voxel(r3.Vec{X: x, Y: 50, Z: 50}, 60, above)
			w.cloud.Voxels[i].Edge = 160
		}
		s := w.build(t)
		w.checkHeld(t, s)
		rest := object(t, s, Remainder)
		return len(rest.Solids), rest.ClearTaken
	}
	whole, _ := solids(false)
	split, taken := solids(true)
	if split <= whole {
		t.Errorf("%d solids where space between is clear, %d where it is not", split, whole)
	}
	t.Logf("%d solids instead of %d; %g m3 of clear space taken", split, whole, taken)
}

package fit

import (
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestShellOfTheMill(t *testing.T) {
	t.Parallel()
	s := shop()
	f := s.findFronts()[0]
	sh := s.findShell(&f)
	if !sh.closes() {
		t.Fatalf("the shell does not close: %+v", sh)
	}
	if sh.inner[back] == nil || sh.inner[left] == nil && sh.inner[right] == nil {
		t.Errorf("inner faces %v: the back and one side at least are in view", sh.inner)
	}
	lo, hi := f.box(s.corners(sh.inner[back]))
	within(t, "depth of the back", (lo.X+hi.X)/2, plainMill.depth-sheetThick, 2)
}

// A gate in a fence, with the hall's wall and a cabinet behind it: there is an
// opening, and nothing that makes it a machine.
func TestGateIsNoMachine(t *testing.T) {
	slow(t)
	w := hall(4)
	at := standing(1000, 0, 0)
	w.box(at, 0, -1800, 0, 30, 1400, 2000)
	w.box(at, 0, 500, 0, 30, 1400, 2000)
	w.box(standing(2400, 0, 0), 0, -3000, 0, 100, 6000, 3000)
	w.box(standing(2000, 300, 0), 0, 0, 0, 300, 600, 1700)
	machines, bare := surveyed(w).findMachines()
	if len(machines) != 0 {
		t.Errorf("%d machines behind a gate", len(machines))
	}
	if len(bare) == 0 {
		t.Error("the gate was not even looked at: the test shows nothing")
	}
}

// What was seen past the back, and beside the machine, through a side that is not
// there does not tell against the back; what was seen where the back should be does.
func TestBackIsJudgedWithinTheFront(t *testing.T) {
	eye := r3.Vec{X: -600, Z: 900}
	past := func(y float64) []mapping.Voxel {
		var out []mapping.Voxel
		for i := range 20 {
			far := voxelOf(eye, r3.Vec{X: 2000, Y: y, Z: 600 + float64(i)}, r3.Vec{X: 2001, Y: y, Z: 600 + float64(i)})
			on := voxelOf(eye, r3.Vec{X: 1000, Y: 400, Z: 600 + float64(i)}, r3.Vec{X: 1000, Y: 401, Z: 600 + float64(i)})
			out = append(out, far, on)
		}
		return out
	}
	f := front{frame: geom.Identity(), extent: rect{lo: [2]float64{-800, 0}, hi: [2]float64{800, 1900}}}
	pl := geom.Plane{Normal: r3.Vec{X: -1}, Offset: -1000}
	for _, c := range []struct {
		y    float64
		want bool
	}{{-1800, true}, {-200, false}} {
		s := newSurvey(&mapping.Cloud{Voxels: past(c.y)}, nil)
		var seen []int32
		for i := range s.cloud.Voxels {
			seen = append(seen, int32(i))
		}
		if got := s.bounds(&f, back, pl, seen); got != c.want {
			t.Errorf("with points beyond at Y = %.0f the back bounds what was seen: %v", c.y, got)
		}
	}
}

// Two sides alone are two walls of a room; a back, a roof or a header makes a
// machine of them.
func TestSidesAreJoined(t *testing.T) {
	var m machine
	m.inner[left], m.inner[right], m.inner[bottom] = []int{1}, []int{2}, []int{3}
	if m.joined() {
		t.Error("two walls and a floor are taken for a machine")
	}
	for name, with := range map[string]func(*machine){
		"back":   func(m *machine) { m.inner[back] = []int{4} },
		"roof":   func(m *machine) { m.outer[top] = []int{4} },
		"header": func(m *machine) { m.rims[1][1].closed = true },
	} {
		o := m
		if with(&o); !o.joined() {
			t.Errorf("with a %s it is none", name)
		}
	}
}

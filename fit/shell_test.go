package fit

import (
	"testing"

	"cellwall/fit/surface"
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

// The inside of a side is looked at through the opening, what stands beside the
// machine past its front. Where an edge of the opening was not seen, the opening
// may go on there.
func TestInsideIsSeenThroughTheOpening(t *testing.T) {
	for name, c := range map[string]struct {
		eye    r3.Vec
		closed bool // the opening's right edge was seen
		want   bool
	}{
		"through it":                {r3.Vec{X: -800, Z: 1200}, true, true},
		"past the front":            {r3.Vec{X: -800, Y: -1500, Z: 1200}, true, false},
		"beyond the last rays":      {r3.Vec{X: -800, Y: -500, Z: 1200}, true, false},
		"where it may go on":        {r3.Vec{X: -800, Y: -500, Z: 1200}, false, true},
		"where it does not go on":   {r3.Vec{X: -800, Y: 1500, Z: 1200}, false, false},
		"by an eye behind it":       {r3.Vec{X: 100, Z: 1200}, true, true},
		"by an eye beside its side": {r3.Vec{X: 100, Y: -1500, Z: 1200}, true, false},
	} {
		s := newSurvey(&mapping.Cloud{}, nil)
		p := surface.Surface{}
		for i := range int32(20) {
			at := r3.Vec{X: 700 + 20*float64(i), Y: -900, Z: 1200}
			s.cloud.Voxels = append(s.cloud.Voxels, voxelOf(c.eye, at, r3.Add(at, r3.Vec{X: 1})))
			s.weight = append(s.weight, 100)
			p.Voxels = append(p.Voxels, i)
		}
		f := front{sheet: &sheet{frame: sheetOf(geom.Identity())}, hole: rect{lo: [2]float64{-400, 800}, hi: [2]float64{450, 1600}}}
		f.rims[0][0].closed, f.rims[0][1].closed = true, c.closed
		if got := s.seenThrough(&f, &p); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// A machine that nobody named is shown where its back and a side were seen, and the
// other or that the front ends there. A screen in a corner of the room has that too,
// but the wall behind it goes on.
func TestWholeMachine(t *testing.T) {
	rear := tile(r3.Vec{X: 1400, Z: 1000}, r3.Vec{X: -1}, 1600, 2000)
	wall := tile(r3.Vec{X: 1400, Y: 2500, Z: 1500}, r3.Vec{X: -1}, 1500, 3000)
	for name, c := range map[string]struct {
		sides int
		free  [2]bool
		wall  bool
		want  bool
	}{
		"two sides and a wall in the plane of its back": {2, [2]bool{}, true, true},
		"a side and a free end":                         {1, [2]bool{true, true}, false, true},
		"free ends":                                     {0, [2]bool{true, true}, false, false},
		"a side and an end that was not seen":           {1, [2]bool{true, false}, false, false},
		"a side and a free end before a wall":           {1, [2]bool{true, true}, true, false},
	} {
		s := handMade(rear)
		if c.wall {
			s = handMade(rear, wall)
		}
		m := machine{front: front{frame: geom.Identity()}, free: c.free}
		m.ends[left].Centre, m.ends[right].Centre = r3.Vec{Y: 800}, r3.Vec{Y: -800}
		m.inner[back] = []int{0}
		for d := range c.sides {
			m.inner[d] = []int{0}
		}
		if got := s.whole(&m); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

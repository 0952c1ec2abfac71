package fit

import "testing"

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

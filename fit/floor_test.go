package fit

import (
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestFloorSetsWhatIsUp(t *testing.T) {
	t.Parallel()
	s := shop()
	truth := flatFloor.R.Axis(2)
	within(t, "tilt of up", deg(tilt(s.up, truth)), 0, 0.03)
	within(t, "height of the floor below the base", s.height(r3.Vec{}), -r3.Dot(truth, flatFloor.T), 0.5)
}

// A raised floor beside the floor, wider than it as seen, is not the floor: the
// lower one shows below it.
func TestFloorIsBelowItsStep(t *testing.T) {
	slow(t)
	w := hall(3)
	w.box(standing(0, -1000, 0), -2000, -1400, 0, 4000, 1400, 300)
	s := surveyed(w)
	within(t, "height above the floor of a point on it", s.height(standing(1000, 1000, 0).T), 0, 2)
}

func TestNoFloorNoGuess(t *testing.T) {
	slow(t)
	w := newRoom(4)
	w.box(standing(1500, 0, 0), 0, -1500, 0, 100, 3000, 2500) // a wall
	s := surveyed(w)
	if s.floor != nil || s.up != (r3.Vec{Z: 1}) {
		t.Errorf("floor %v, up %v in a room without one", s.floor, s.up)
	}
	f := &Findings{}
	s.dealFloor(f, nil)
	if len(f.Refused) != 1 || f.Refused[0].Kind != Floor || f.Refused[0].ScanNext == "" {
		t.Errorf("nothing says that the floor was not seen: %+v", f.Refused)
	}
}

func TestCeiling(t *testing.T) {
	slow(t)
	w := hall(5)
	w.box(flatFloor, -4000, -4000, 2500, 8000, 8000, 100)
	s := surveyed(w)
	found := s.findCeiling(nil)
	if len(found) != 1 {
		t.Fatalf("%d ceilings", len(found))
	}
	plane := geom.Plane{Normal: found[0].Pose.R.Axis(2), Offset: r3.Dot(found[0].Pose.R.Axis(2), found[0].Pose.T)}
	within(t, "height of the ceiling", -plane.Distance(flatFloor.T), -2500, 1)
	if shop().findCeiling(nil) != nil {
		t.Error("a ceiling in a room without one")
	}
}

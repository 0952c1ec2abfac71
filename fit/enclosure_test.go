package fit

import (
	"math"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// millIn is the one machine of a room, as an object.
func millIn(t *testing.T, w *room, at geom.Pose) Object {
	t.Helper()
	s := surveyedAt(w, math.Atan2(at.T.Y, at.T.X))
	machines, _ := s.findMachines()
	if len(machines) != 1 {
		t.Fatalf("%d machines, want 1", len(machines))
	}
	if machines[0].missing != nil {
		t.Fatalf("missing: %v", machines[0].missing)
	}
	return s.enclosure(&machines[0])
}

// holdMill holds a mill to the truth: the datum by the datum's own sigma, the
// door by 5 mm (the project's bar) or its sigma where points are sparse.
func holdMill(t *testing.T, o Object, at geom.Pose, m mill) {
	t.Helper()
	d := o.Pose.Minus(at)
	local := at.R.T().Apply(r3.Vec{X: d[0], Y: d[1], Z: d[2]})
	within(t, "datum along X", local.X, 0, 1)
	within(t, "datum along Y", local.Y, 0, 8)
	within(t, "datum along Z", local.Z, 0, 1)
	within(t, "datum's turn", deg(math.Sqrt(d[3]*d[3]+d[4]*d[4]+d[5]*d[5])), 0, 0.1)
	for i := range 6 {
		if s := math.Sqrt(o.Cov[i][i]); !(math.Abs(d[i]) < 4*s) {
			t.Errorf("datum %d is off by %.3g with sigma %.3g", i, d[i], s)
		}
	}
	sameWithin(t, "width", o.Measures["width_mm"], m.width, 10)
	within(t, "door left", o.Opening.YMax, m.door.YMax, 6)
	within(t, "door right", o.Opening.YMin, m.door.YMin, 6)
	within(t, "door top", o.Opening.ZMax, m.door.ZMax, 5)
	sameWithin(t, "door height", o.Measures["opening_height_mm"], m.door.ZMax-m.door.ZMin, 10)
}

func TestMillTurnedEachWay(t *testing.T) {
	slow(t)
	for _, at := range []geom.Pose{standing(900, -100, 0.2), standing(800, 600, 0.9), standing(-100, -1000, -math.Pi/2)} {
		w := hall(11)
		plainMill.stand(w, at)
		holdMill(t, millIn(t, w, at), at, plainMill)
	}
}

func TestMillWithASlopingFront(t *testing.T) {
	slow(t)
	w := hall(18)
	m := plainMill
	m.slope = 7 * math.Pi / 180
	at := standing(850, 100, -0.1)
	m.stand(w, at)
	holdMill(t, millIn(t, w, at), m.datum(at), m)
}

func TestOpenFrontedMill(t *testing.T) {
	slow(t)
	w := hall(12)
	m := plainMill
	m.openFront = true
	at := standing(900, 200, -0.3)
	m.stand(w, at)
	m.door = Opening{YMin: -690, YMax: 690, ZMin: 700, ZMax: 1940}
	holdMill(t, millIn(t, w, at), at, m)
}

// A machine of sides, back and roof alone: its front is where the sides end, known
// to some millimetres and no better, and says so.
func TestMillWithoutAFront(t *testing.T) {
	slow(t)
	w := hall(13)
	m := plainMill
	m.sidesOnly = true
	at := standing(900, 200, -0.3)
	m.stand(w, at)
	s := surveyedAt(w, math.Atan2(at.T.Y, at.T.X))
	machines, _ := s.findMachines()
	if len(machines) != 1 || machines[0].missing != nil {
		t.Fatalf("%d machines, want 1 with nothing missing", len(machines))
	}
	o := s.enclosure(&machines[0])
	d := o.Pose.Minus(at)
	for i := range 6 {
		if sigma := math.Sqrt(o.Cov[i][i]); !(math.Abs(d[i]) < 4*sigma) || i < 3 && sigma > 10 {
			t.Errorf("datum %d is off by %.3g with sigma %.3g", i, d[i], sigma)
		}
	}
	sameWithin(t, "width", o.Measures["width_mm"], m.width, 10)
	within(t, "opening left", o.Opening.YMax, m.width/2-sheetThick, 10)
	within(t, "opening right", o.Opening.YMin, -m.width/2+sheetThick, 10)
	within(t, "opening top", o.Opening.ZMax, m.height-sheetThick, 15)
	if len(o.NotSeen) == 0 {
		t.Error("it does not say that there is no front")
	}
}

func TestDoorLeafHalfOpen(t *testing.T) {
	slow(t)
	at := standing(900, -60, 0.1)
	d := plainMill.door
	hinge := at.Mul(geom.Pose{R: geom.Exp(r3.Vec{Z: 1.1}), T: r3.Vec{Y: d.YMax}})
	w := hall(14)
	plainMill.stand(w, at)
	w.box(hinge, 0, 0, d.ZMin, 20, 370, d.ZMax-d.ZMin)
	holdMill(t, millIn(t, w, at), at, plainMill)

	// A leaf that slides before the front leaves the rest of the opening.
	w = hall(15)
	plainMill.stand(w, at)
	w.box(at, -40, 0, d.ZMin-20, 20, d.YMax+30, d.ZMax-d.ZMin+40)
	o := millIn(t, w, at)
	within(t, "right side of what is left of the door", o.Opening.YMin, d.YMin, 6)
	within(t, "left side of what is left of the door", o.Opening.YMax, 0, 10)
}

// A machine that shows its right side to the base: how deep it is can be seen.
func TestDepthOfAMillSeenFromTheSide(t *testing.T) {
	slow(t)
	w := hall(17)
	at := standing(300, 1500, 0)
	plainMill.stand(w, at)
	o := millIn(t, w, at)
	sameWithin(t, "depth", o.Measures["depth_mm"], plainMill.depth, 10)
	for _, name := range []string{"front", "right"} {
		found := false
		for _, f := range o.Faces {
			found = found || f.Name == name
		}
		if !found {
			t.Errorf("it has no face %s", name)
		}
	}
}

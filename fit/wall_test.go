package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestWallsBoundTheRoom(t *testing.T) {
	t.Parallel()
	s := shop()
	walls := s.findWalls(nil)
	if len(walls) != 2 {
		t.Fatalf("%d walls, want the 2 of the hall", len(walls))
	}
	nameAround(walls, facing)
	for i, want := range []struct {
		normal r3.Vec
		at     float64
	}{{r3.Vec{Y: -1}, 2400}, {r3.Vec{X: 1}, 2100}} { // by azimuth: at +90, at 180 degrees
		n := flatFloor.R.Apply(want.normal)
		within(t, walls[i].Name+" tilt", deg(tilt(walls[i].Pose.R.Axis(2), n)), 0, 0.05)
		foot := flatFloor.Apply(r3.Scale(-want.at, want.normal))
		within(t, walls[i].Name+" offset", r3.Dot(n, r3.Sub(walls[i].Pose.T, foot)), 0, 1)
	}
}

// Two panels in one plane with a gate between them are one fence, and a third that
// stands 60 mm before that plane is another.
func TestPanelsInOnePlaneAreOneWall(t *testing.T) {
	slow(t)
	w := hall(8)
	w.box(standing(2300, 0, 0), 0, -3000, 0, 100, 6000, 3000)
	w.box(standing(1300, -2300, 0), 0, 0, 0, 30, 1300, 1700)
	w.box(standing(1300, 200, 0), 0, 0, 0, 30, 1300, 1700)
	w.box(standing(1240, 1600, 0), 0, 0, 0, 30, 700, 1700)
	s := surveyed(w)
	s.findWalls(nil)
	panels := s.findPanels(nil)
	if len(panels) != 1 || len(panels[0].Faces) != 2 {
		t.Fatalf("%d panels, want one of two faces", len(panels))
	}
	for _, f := range panels[0].Faces {
		within(t, "x of "+f.Name, f.Centre.X, 1300, 20)
	}
}

// A fence stands in the room with a wall behind it: it does not bound what is
// seen, and is a wall all the same.
func TestFenceIsAWall(t *testing.T) {
	slow(t)
	w := hall(7)
	w.box(standing(1200, -1400, 0), 0, 0, 100, 30, 2400, 1700)
	w.box(standing(2300, 0, 0), 0, -3000, 0, 100, 6000, 3000)
	s := surveyed(w)
	bounding := len(s.findWalls(nil))
	panels := s.findPanels(nil)
	if bounding != 3 || len(panels) != 1 {
		t.Fatalf("%d walls and %d fences, want 3 and 1", bounding, len(panels))
	}
	if c := panels[0].Faces[0].Centre; c.X > 1250 || c.X < 1150 {
		t.Errorf("the fence is seen at %v", c)
	}
}

// The outermost cabinet has nothing behind it either, and the slab of a partition
// shows its end like a block: the one is no wall, the other is.
func TestCabinetsAreNoWallsAndWallsNoBlocks(t *testing.T) {
	slow(t)
	w := newRoom(9)
	w.box(flatFloor, -4000, -1200, -100, 8000, 5200, 100)
	w.box(standing(600, -1200, 0), 0, -12, 0, 600, 12, 1800) // no more of it is seen than its front
	w.box(standing(900, 1300, 0), 0, 0, 0, 2200, 160, 3000)
	s := surveyedAt(w, 0.4)
	walls, blocks := s.findWalls(nil), s.findBlocks()
	walls = append(walls, s.findPanels(nil)...)
	if len(walls) != 1 || math.Abs(r3.Dot(walls[0].Pose.R.Axis(2), flatFloor.R.Apply(r3.Vec{Y: -1}))-1) > 1e-4 {
		t.Errorf("%d walls, want the partition", len(walls))
	}
	if lone := s.findLoneFaces(); len(blocks) != 0 || len(lone) == 0 {
		t.Errorf("%d blocks and %d lone faces, want the cabinet's face", len(blocks), len(lone))
	}
}

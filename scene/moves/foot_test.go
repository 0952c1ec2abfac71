package moves

import (
	"testing"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/geom"
	"cellwall/mapping/mappingtest"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// scanned casts and maps a cell.
func scanned(t *testing.T, s fixtures.Settings) (*scene.Scene, *mapping.Cloud) {
	t.Helper()
	_, c, cloud := mappingtest.Scan(t, s)
	if err := align.Cloud(cloud); err != nil {
		t.Fatal(err)
	}
	built, err := scene.Build(c, cloud, fit.Find(cloud, c.Wanted))
	if err != nil {
		t.Fatal(err)
	}
	return built, cloud
}

// Whether it is the mount or the arm's foot shows in how the errors of whole scans
// come out, so whole cells are cast and mapped: four, thinned.
func TestMountThatChangedIsToldFromAnArmThatMoved(t *testing.T) {
	if testing.Short() {
		t.Skip("casts and maps four cells")
	}
	s := fixtures.Demo(1)
	s.Density = .06
	s.Errors.MountShift, s.Errors.MountTurn, s.Errors.Latency, s.Errors.JointZero = 0, 0, 0, 0
	old, _ := scanned(t, s)
	s.Seed, s.Skip = 101, []string{"swing-up", "swing-low", "pass-moving", "pass-across"}
	mount, foot := s, s
	mount.Errors.MountShift, mount.Errors.MountTurn = 2, .003
	foot.Room.BaseHeight += 3
	pick := []Taught{{Name: "pick", Object: "mill", Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1200}}}}
	for _, c := range []struct {
		name      string
		later     fixtures.Settings
		want      Foot
		corrected string
	}{
		{"nothing", s, Steady, "as-taught"}, {"the mount", mount, Mount, "not-corrected"}, {"the arm's foot", foot, Arm, "corrected"},
	} {
		now, _ := scanned(t, c.later)
		told := Compare(old, now, level)
		if got := told.Foot(); got != c.want {
			t.Errorf("%s changed: said to be %v; room %+v", c.name, got, told.Room)
		}
		if got := told.Carry(pick, Limits{10, 5})[0]; got.Status() != c.corrected {
			t.Errorf("%s changed: a point on the mill is %s", c.name, got.Status())
		}
		for _, k := range told.Contacts { // against the floor, wherever that seems to be, the mill stays
			if c.want != Mount && (k.Sunk || k.Lifted) {
				t.Errorf("%s changed: the mill's feet %+v", c.name, k)
			}
		}
	}
}

package judge

import (
	"testing"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// A machine is told by where it stands, whatever it is called; one elsewhere is
// invented; and one that is off by more than it says is wrong.
func TestMachinesByPlace(t *testing.T) {
	shop, err := fixtures.Build(fixtures.Demo(1))
	if err != nil {
		t.Fatal(err)
	}
	truth, _ := shop.Truth.Object("mill")
	put := func(name string, off r3.Vec) scene.Object {
		o := scene.Object{Object: fit.Object{Name: name, Kind: fit.Enclosure, Pose: *truth.Pose}}
		o.Pose.T = r3.Add(o.Pose.T, off)
		o.Cov = geom.Cov6{}
		for i := range o.Cov {
			o.Cov[i][i] = 1
		}
		return o
	}
	for _, c := range []struct {
		name   string
		off    r3.Vec
		wrong  bool
		others int
	}{
		{"close to it", r3.Vec{X: 3}, false, 0},
		{"six sigma off", r3.Vec{Y: 6}, true, 0},
		{"elsewhere", r3.Vec{X: -2000}, false, 1},
	} {
		got, others := machines(&scene.Scene{Objects: []scene.Object{put("enclosure-1", c.off)}}, shop)
		if len(got) != 1 || got[0].Wrong() != c.wrong || len(others) != c.others {
			t.Errorf("%s: told %+v and %v", c.name, got, others)
		}
	}
}

package space_test

import (
	"testing"

	"cellwall/cmd/trials/judge"
	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping/mappingtest"
	"cellwall/scene"
)

// What is called clear is held against the truth of invented cells with all
// their faults: no clear voxel holds a place deeper in an obstacle than its
// diagonal, and of ten thousand balls and ten thousand capsules none that is
// called clear meets anything.
func TestNothingSolidIsCalledClear(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and shows nothing of races")
	}
	for name, settings := range map[string]fixtures.Settings{
		"demo": fixtures.Demo(1), "random 7": fixtures.Random(7), "random 8": fixtures.Random(8),
	} {
		t.Run(name, func(t *testing.T) {
			settings.Density = 0.2
			v := judge.ClearSpace(mapped(t, settings))
			t.Logf("%+v", v)
			if v.Touch > 0 || v.Deep > 0 || v.False > 0 {
				t.Errorf("%d clear voxels touch an obstacle, the worst %.1f mm in; %d of %d bodies called clear are not", v.Touch, v.Worst, v.False, v.Bodies)
			}
			if v.Clear < 50_000 || v.Bodies < 3000 || v.Told*10 < v.Free {
				t.Errorf("%d clear voxels, %d clear bodies, %d of %d free places: too little is called clear to show anything", v.Clear, v.Bodies, v.Told, v.Free)
			}
		})
	}
}

func mapped(t *testing.T, settings fixtures.Settings) (*scene.Scene, *fixtures.Shop) {
	t.Helper()
	shop, c, cloud := mappingtest.Scan(t, settings)
	s, err := scene.Build(c, cloud, fit.Find(cloud, c.Wanted))
	if err != nil {
		t.Fatal(err)
	}
	return s, shop
}

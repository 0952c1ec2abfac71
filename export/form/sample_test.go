package form

import (
	"math"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// sample is a scene with every kind of solid, at angles, with names that are
// awkward in one format or another.
func sample(t testing.TB) *scene.Scene {
	t.Helper()
	tilted := geom.Pose{R: geom.RotFromRPY(0.3, -0.2, 2.5), T: r3.Vec{X: 1250.25, Y: -310, Z: 640.5}}
	var ring, cloud []r3.Vec
	for i := range 7 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 7)
		ring = append(ring, tilted.Apply(r3.Vec{X: 400 * c, Y: 150 * s}))
		cloud = append(cloud, r3.Vec{X: -900 + 200*c, Y: 700 + 200*s, Z: 30}, r3.Vec{X: -900 + 150*s, Y: 700 - 90*c, Z: 250})
	}
	prism, err := solid.NewPrism(ring, tilted.R.Axis(2), 85)
	if err != nil {
		t.Fatal(err)
	}
	hull, err := solid.NewHull(cloud)
	if err != nil {
		t.Fatal(err)
	}
	box := func(p geom.Pose, x, y, z float64) solid.Solid {
		return solid.Box{Box: geom.Box{Pose: p, Size: r3.Vec{X: x, Y: y, Z: z}}}
	}
	flat := geom.Pose{R: geom.RotFromRPY(0, 0, 0.4), T: r3.Vec{X: 800, Y: -600, Z: -20}}
	object := func(name string, kind fit.Kind, at geom.Pose, margin float64, solids ...solid.Solid) scene.Object {
		o := scene.Object{Object: fit.Object{Name: name, Kind: kind, Pose: at}, Solids: solids, Margin: margin}
		for i := range 6 {
			o.Cov[i][i] = 0.01 * float64(i+1) * float64(i+1)
		}
		return o
	}
	upright := solid.Cylinder{Centre: r3.Vec{X: -1500, Y: 900, Z: 400}, Axis: r3.Vec{Z: 1}, Radius: 60, Height: 900}
	leaning := solid.Cylinder{Centre: r3.Vec{X: 300, Y: 1900, Z: 700}, Axis: r3.Unit(r3.Vec{X: 1, Y: -2, Z: 3}), Radius: 25, Height: 500}
	s := &scene.Scene{
		Cell: "Fräse & co", Scans: []string{"swing", "close pass"},
		Objects: []scene.Object{
			object("floor", fit.Floor, geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Z: -45}}, 20, box(flat, 4000, 3000, 50)),
			object("base", fit.Post, geom.Pose{R: geom.IdentityRot(), T: upright.Centre}, 15, upright, leaning),
			object("Fräse 1/a", fit.Enclosure, tilted, 20, prism, box(tilted, 200, 100, 50)),
			object("o'vise -- \"left\"", fit.Vise, tilted, 0, box(tilted, 150, 45, 45)),
			object("seen only", fit.Wall, flat, 20),
			object("remainder", scene.Remainder, geom.Pose{}, 12.5, hull, box(tilted, 30, 30, 30)),
		},
		NotLocated: []fit.Refusal{{Name: "vise__2", Kind: fit.Vise, Reason: "too few points on the jaws", ScanNext: "scan it"}},
	}
	s.Objects[3].Inside = "Fräse 1/a"
	s.Objects[3].Measures = map[string]fit.Measure{"opening_mm": {Value: 63.4, Sigma: 0.1}}
	s.Objects[3].Faces = []fit.Face{{Name: "top", Surface: surface.Surface{Points: 120, Scans: []int32{1}}}}
	return s
}

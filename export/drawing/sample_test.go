package drawing

import (
	"time"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// sampleTitle is a title block with every field filled in.
var sampleTitle = Title{
	Owner: "Workshop", Number: "CW-0001", Date: time.Date(2024, 5, 17, 0, 0, 0, 0, time.UTC), Creator: "A. Fitter", Approver: "B. Checker",
}

func at(x, y, z, yawDeg float64) geom.Pose {
	return geom.Pose{R: geom.RotFromRPY(0, 0, yawDeg*0.017453292519943295), T: r3.Vec{X: x, Y: y, Z: z}}
}

// boxIn is a box from corner to corner in a frame.
func boxIn(f geom.Pose, lo, hi r3.Vec) solid.Solid {
	mid := geom.Pose{R: geom.IdentityRot(), T: r3.Scale(0.5, r3.Add(lo, hi))}
	return solid.Box{Box: geom.Box{Pose: f.Mul(mid), Size: r3.Sub(hi, lo)}}
}

// cov is a covariance of the given standard deviations, mm and rad.
func cov(t, r float64) geom.Cov6 {
	var c geom.Cov6
	for i := range 3 {
		c[i][i], c[i+3][i+3] = t*t, r*r
	}
	return c
}

func object(kind fit.Kind, name string, pose geom.Pose, solids ...solid.Solid) scene.Object {
	return scene.Object{
		Object: fit.Object{Name: name, Kind: kind, Pose: pose, Cov: cov(0.3, 2e-4), Measures: map[string]fit.Measure{}},
		Solids: solids, Margin: 20,
	}
}

// sampleScene is a small cell: a room with two walls and a ceiling, a mill with
// a vise, a bench on four legs, a cabinet, a pillar, and something that no
// object explains.
func sampleScene() *scene.Scene {
	floor := object(fit.Floor, "floor", at(0, 0, -450, 0), boxIn(at(0, 0, -450, 0), r3.Vec{X: -1500, Y: -2500, Z: -50}, r3.Vec{X: 3500, Y: 2500}))
	east := wall("wall-1", at(3500, 0, 0, 0), axisX)
	north := wall("wall-2", at(0, 2500, 0, 0), axisY)
	ceiling := object(fit.Ceiling, "ceiling", geom.Pose{R: looking(axisX, r3.Scale(-1, axisY)).T(), T: r3.Vec{Z: 2600}},
		boxIn(at(0, 0, 2600, 0), r3.Vec{X: -1500, Y: -2500}, r3.Vec{X: 3500, Y: 2500, Z: 50}))
	post := object(fit.Post, "post-1", at(-900, 1600, -450, 0), solid.Cylinder{Centre: r3.Vec{X: -900, Y: 1600, Z: 800}, Axis: axisZ, Radius: 100, Height: 2500})
	post.Measures["diameter_mm"] = fit.Measure{Value: 200, Sigma: 0.6}
	cabinet := at(300, 2200, 150, 3)
	block := object(fit.Block, "block-1", cabinet, boxIn(cabinet, r3.Vec{X: -400, Y: -250, Z: -600}, r3.Vec{X: 400, Y: 250, Z: 900}))
	var lumps []solid.Solid
	for i := range 5 {
		f := at(2600+60*float64(i%3), -1700+70*float64(i/2), -450, 11*float64(i))
		lumps = append(lumps, boxIn(f, r3.Vec{X: -40, Y: -40}, r3.Vec{X: 40, Y: 40, Z: 120 + 40*float64(i)}))
	}
	return &scene.Scene{Cell: "sample cell", Objects: []scene.Object{
		floor, east, north, ceiling, mill(), vise(), bench(), post, block, object(scene.Remainder, "remainder", geom.Pose{}, lumps...),
	}}
}

// wall is a slab of 50 mm whose seen side looks against the given axis.
func wall(name string, foot geom.Pose, outward r3.Vec) scene.Object {
	pose := geom.Pose{R: looking(r3.Cross(axisZ, r3.Scale(-1, outward)), axisZ).T(), T: foot.T}
	return object(fit.Wall, name, pose, boxIn(pose, r3.Vec{X: -2500, Y: -450, Z: -50}, r3.Vec{X: 2500, Y: 2600}))
}

// mill has sheet metal of 50 mm round an opening in its front, turned by 6
// degrees.
func mill() scene.Object {
	f := at(1100, 150, -450, 6)
	slab := func(x0, y0, z0, x1, y1, z1 float64) solid.Solid {
		return boxIn(f, r3.Vec{X: x0, Y: y0, Z: z0}, r3.Vec{X: x1, Y: y1, Z: z1})
	}
	o := object(fit.Enclosure, "mill", f,
		slab(0, -900, 0, 50, -400, 2100), slab(0, 400, 0, 50, 900, 2100), slab(0, -400, 0, 50, 400, 850), slab(0, -400, 1700, 50, 400, 2100),
		slab(0, -900, 0, 1400, -850, 2100), slab(0, 850, 0, 1400, 900, 2100), slab(1350, -900, 0, 1400, 900, 2100), slab(0, -900, 2050, 1400, 900, 2100))
	o.Measures = map[string]fit.Measure{
		"width_mm": {Value: 1800, Sigma: 0.7}, "height_mm": {Value: 2100, Sigma: 0.9},
		"opening_width_mm": {Value: 800, Sigma: 1.1}, "opening_height_mm": {Value: 850, Sigma: 1.3},
	}
	o.Opening = &fit.Opening{YMin: -400, YMax: 400, ZMin: 850, ZMax: 1700}
	return o
}

// vise stands in the mill, its fixed jaw on the far side.
func vise() scene.Object {
	f := at(1700, 180, 480, 96) // Y toward the base
	o := object(fit.Vise, "vise", f,
		boxIn(f, r3.Vec{X: -75, Y: -45, Z: -45}, r3.Vec{X: 75}), boxIn(f, r3.Vec{X: -75, Y: 63.4, Z: -45}, r3.Vec{X: 75, Y: 108.4}),
		boxIn(f, r3.Vec{X: -75, Y: -70, Z: -120}, r3.Vec{X: 75, Y: 260, Z: -45}))
	o.Inside = "mill"
	for _, p := range o.Solids[:2] {
		o.Parts = append(o.Parts, p.(solid.Box).Box)
	}
	o.Cov = cov(0.12, 4e-4)
	o.Measures = map[string]fit.Measure{"opening_mm": {Value: 63.4, Sigma: 0.08}, "jaw_width_mm": {Value: 150.1, Sigma: 0.2}}
	return o
}

func bench() scene.Object {
	f := at(150, -1450, 300, -4)
	solids := []solid.Solid{boxIn(f, r3.Vec{X: -600, Y: -350, Z: -40}, r3.Vec{X: 600, Y: 350})}
	for _, x := range []float64{-560, 500} {
		for _, y := range []float64{-310, 250} {
			solids = append(solids, boxIn(f, r3.Vec{X: x, Y: y, Z: -750}, r3.Vec{X: x + 60, Y: y + 60, Z: -40}))
		}
	}
	o := object(fit.Table, "bench", f, solids...)
	o.Measures = map[string]fit.Measure{"length_mm": {Value: 1200, Sigma: 0.8}, "width_mm": {Value: 700, Sigma: 0.9}, "height_mm": {Value: 750, Sigma: 0.4}}
	return o
}

package changes

import (
	"bytes"
	"math"
	"testing"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/schema"
	"cellwall/scene/solid"
	"cellwall/scene/space"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gonum.org/v1/gonum/spatial/r3"
)

// seen is clear in its boxes, solid where a face of its scene is, else unseen.
type seen struct {
	scene *scene.Scene
	clear []geom.Bounds
}

func (s seen) State(p r3.Vec) space.State {
	for i := range s.scene.Objects {
		for _, f := range s.scene.Objects[i].Faces {
			if math.Abs(f.Plane.Distance(p)) < 20 && r3.Norm(r3.Sub(p, f.Centre)) < 400 {
				return space.Solid
			}
		}
	}
	for _, b := range s.clear {
		if p.X > b.Min.X && p.X < b.Max.X && p.Y > b.Min.Y && p.Y < b.Max.Y && p.Z > b.Min.Z && p.Z < b.Max.Z {
			return space.Clear
		}
	}
	return space.Unseen
}

func (s seen) AllClear(b space.Body) bool {
	r := b.Bounds(0)
	return s.State(r.Min) == space.Clear && s.State(r.Max) == space.Clear
}

// everywhere is clear round the cell.
var everywhere = []geom.Bounds{{Min: r3.Vec{X: -5000, Y: -5000, Z: -5000}, Max: r3.Vec{X: 5000, Y: 5000, Z: 5000}}}

var x, y, z = r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}

func face(name string, middle, normal, u r3.Vec, a, b float64) fit.Face {
	v := r3.Cross(normal, u)
	s := surface.Surface{Plane: geom.Plane{Normal: normal, Offset: r3.Dot(normal, middle)}, Centre: middle, Area: 4 * a * b, Scans: []int32{0, 1}}
	for _, c := range [4][2]float64{{-a, -b}, {a, -b}, {a, b}, {-a, b}} {
		s.Outline = append(s.Outline, r3.Add(middle, r3.Add(r3.Scale(c[0], u), r3.Scale(c[1], v))))
	}
	s.Budget.Noise = surface.Cov3{{.0025}, {1: 1e-8}, {2: 1e-8}}
	s.Budget.Sweep = surface.Cov3{{.01}, {1: 1e-9}, {2: 1e-9}}
	s.Cov = s.Budget.Total()
	return fit.Face{Name: name, Surface: s}
}

// crate is a block of 300 x 200 x 250 mm with its front and top seen.
func crate(name string, at r3.Vec) scene.Object {
	o := scene.Object{Object: fit.Object{Name: name, Kind: fit.Block, Pose: geom.Pose{R: geom.IdentityRot(), T: at}}}
	o.Measures = map[string]fit.Measure{"width_mm": {Value: 300, Sigma: 3}, "depth_mm": {Value: 200, Sigma: 3}}
	o.Faces = []fit.Face{
		face("front", r3.Add(at, r3.Vec{X: -100}), r3.Scale(-1, x), y, 150, 125),
		face("top", r3.Add(at, r3.Vec{Z: 125}), z, x, 100, 150),
	}
	return o
}

func mapWith(clear []geom.Bounds, objects ...scene.Object) Map {
	s := &scene.Scene{Objects: objects}
	return Map{Scene: s, States: seen{s, clear}}
}

func sorts(all []Change) map[string]Sort {
	out := map[string]Sort{}
	for _, c := range all {
		out[c.Name] = c.Sort
	}
	return out
}

func TestGoneNeedsRaysThroughThePlace(t *testing.T) {
	a, b := crate("block-1", r3.Vec{X: 900}), crate("block-2", r3.Vec{X: 900, Y: 1500})
	near := []geom.Bounds{{Min: r3.Vec{X: 500, Y: -800, Z: -600}, Max: r3.Vec{X: 1500, Y: 800, Z: 600}}} // rays went there only
	got := sorts(Between(mapWith(everywhere, a, b), mapWith(near), .99))
	if got["block-1"] != Gone || got["block-2"] != NotSeen {
		t.Errorf("%v", got)
	}
	// Without states nothing is gone, whatever the rays did.
	bare := mapWith(nil)
	bare.States = nil
	if got := sorts(Between(mapWith(everywhere, a), bare, .99)); got["block-1"] != NotSeen {
		t.Errorf("%v", got)
	}
}

func TestNewNeedsRaysThroughThePlaceBefore(t *testing.T) {
	a, b := crate("block-1", r3.Vec{X: 900}), crate("block-2", r3.Vec{X: 900, Y: 1500})
	near := []geom.Bounds{{Min: r3.Vec{X: 500, Y: -800, Z: -600}, Max: r3.Vec{X: 1500, Y: 800, Z: 600}}}
	got := sorts(Between(mapWith(near), mapWith(everywhere, a, b), .99))
	if got["block-1"] != New || got["block-2"] != NotBefore {
		t.Errorf("%v", got)
	}
	if got := Between(mapWith(everywhere, a), mapWith(everywhere, a), .99); len(got) != 1 || got[0].Sort != InPart {
		t.Errorf("%+v", got)
	}
}

func TestGoneHereAndNewThereIsMoved(t *testing.T) {
	a, b := crate("block-1", r3.Vec{X: 900}), crate("block-1", r3.Vec{X: -900, Y: 700, Z: 40})
	b.Name = "block-3"
	got := Between(mapWith(everywhere, a), mapWith(everywhere, b), .99)
	if len(got) != 1 || got[0].Sort != Moved || got[0].NewName != "block-3" || math.Abs(got[0].Shift-math.Sqrt(1800*1800+700*700+40*40)) > 1e-9 {
		t.Errorf("%+v", got)
	}
	b.Measures["width_mm"] = fit.Measure{Value: 400, Sigma: 3} // another crate
	if got := sorts(Between(mapWith(everywhere, a), mapWith(everywhere, b), .99)); got["block-1"] != Gone || got["block-3"] != New {
		t.Errorf("%v", got)
	}
	// Two like it: which of them it is cannot be told.
	a.Measures["width_mm"] = fit.Measure{Value: 400, Sigma: 3}
	c := crate("block-4", r3.Vec{X: -900, Y: -900})
	c.Measures["width_mm"] = b.Measures["width_mm"]
	if got := sorts(Between(mapWith(everywhere, a), mapWith(everywhere, b, c), .99)); got["block-1"] != Gone || got["block-3"] != New || got["block-4"] != New {
		t.Errorf("%v", got)
	}
}

func TestSizeAndFacesThatChanged(t *testing.T) {
	old, now := crate("bench", r3.Vec{X: 900}), crate("bench", r3.Vec{X: 900})
	old.Kind, now.Kind = fit.Table, fit.Table
	now.Measures = map[string]fit.Measure{"width_mm": {Value: 320, Sigma: 3}, "depth_mm": {Value: 202, Sigma: 3}}
	got := Between(mapWith(everywhere, old), mapWith(everywhere, now), .99)
	if len(got) != 1 || got[0].Sort != Resized || len(got[0].Sizes) != 1 || got[0].Sizes[0].Name != "width_mm" {
		t.Errorf("%+v", got)
	}
	now.Measures = old.Measures
	now.Faces = now.Faces[1:] // no front any more, and rays where it was
	got = Between(mapWith(everywhere, old), mapWith(everywhere, now), .99)
	if len(got) != 1 || got[0].Sort != Resized || len(got[0].Vanished) != 1 || got[0].Vanished[0] != "front" {
		t.Errorf("%+v", got)
	}
	if got = Between(mapWith(everywhere, old), mapWith(nil, now), .99); got[0].Sort != InPart {
		t.Errorf("a front that was not looked at: %+v", got)
	}
}

// A leaf slid open stands 30 mm before the front and ends at the face that the
// opening ends at: that face was there before, the leaf was not.
func TestLeafThatSharesAnEdge(t *testing.T) {
	front := face("front", r3.Vec{X: 900, Y: 700}, r3.Scale(-1, x), y, 700, 500)
	edge := face("edge", r3.Vec{X: 885}, r3.Scale(-1, y), z, 200, 15)
	mill := scene.Object{Object: fit.Object{Name: "mill", Kind: fit.Enclosure, Pose: geom.Identity(), Faces: []fit.Face{front, edge}}}
	bare := mill
	bare.Faces = mill.Faces[:1]
	leaf := crate("block-1", r3.Vec{})
	leaf.Faces = []fit.Face{face("front", r3.Vec{X: 870, Y: 200}, r3.Scale(-1, x), y, 200, 200), edge}
	leaf.Faces[1].Name = "right"
	shut, open := mapWith(everywhere, mill), mapWith(everywhere, bare, leaf)
	if got := sorts(Between(shut, open, .99)); got["block-1"] != New || got["mill"] != InPart {
		t.Errorf("slid open: %v", got)
	}
	if got := sorts(Between(open, shut, .99)); got["block-1"] != Gone || got["mill"] != InPart {
		t.Errorf("slid shut: %v", got)
	}
	// With the front's place not looked at, the edge alone makes nothing new or gone.
	blind := shut
	blind.States = seen{mapWith(nil, crate("block-9", r3.Vec{X: -3000})).Scene, nil}
	blind.Scene = mapWith(nil, scene.Object{Object: fit.Object{Name: "mill", Kind: fit.Enclosure, Pose: geom.Identity(), Faces: []fit.Face{edge}}}).Scene
	if got := sorts(Between(blind, open, .99)); got["block-1"] == New {
		t.Errorf("where nothing was seen before: %v", got)
	}
	if got := sorts(Between(open, blind, .99)); got["block-1"] == Gone {
		t.Errorf("where nothing was seen since: %v", got)
	}
}

// A board before a wall has five faces: the four at its edges are so narrow, and so
// close to the wall, that no ray tells of them, but the fifth is nearly all of it.
func TestFacesCountByTheirArea(t *testing.T) {
	wall := scene.Object{Object: fit.Object{Name: "wall-1", Kind: fit.Wall, Pose: geom.Identity(), Faces: []fit.Face{face("face", r3.Vec{X: 900}, r3.Scale(-1, x), y, 1500, 1000)}}}
	board := crate("block-1", r3.Vec{X: 885})
	board.Faces = []fit.Face{face("front", r3.Vec{X: 870}, r3.Scale(-1, x), y, 300, 300)}
	for i, side := range [4]r3.Vec{y, z, r3.Scale(-1, y), r3.Scale(-1, z)} {
		at := r3.Add(r3.Vec{X: 885}, r3.Scale(300, side))
		board.Faces = append(board.Faces, face([4]string{"left", "top", "right", "bottom"}[i], at, side, x, 15, 300))
	}
	if got := sorts(Between(mapWith(everywhere, wall, board), mapWith(everywhere, wall), .99)); got["block-1"] != Gone {
		t.Errorf("%v", got)
	}
}

func TestRegionsOfNoObject(t *testing.T) {
	rest := scene.Object{Object: fit.Object{Name: "remainder", Kind: scene.Remainder}}
	rest.Solids = []solid.Solid{solid.Box{Box: geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 700}}, Size: r3.Vec{X: 50, Y: 50, Z: 50}}}}
	got := Between(mapWith(everywhere, rest), mapWith(everywhere), .99)
	if len(got) != 1 || got[0].Sort != Gone || math.Abs(got[0].At.X-700) > 1 {
		t.Errorf("%+v", got)
	}
	// The top of a crate by which nothing else was seen, in no object: one region, not
	// one for it and one for each solid round it.
	rest.Faces = []fit.Face{face("plane-1", r3.Vec{X: 700}, z, x, 200, 150)}
	rest.Solids[0] = solid.Box{Box: geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 700}}, Size: r3.Vec{X: 50, Y: 50}}}
	if got := Between(mapWith(everywhere), mapWith(everywhere, rest), .99); len(got) != 1 || got[0].Sort != New || math.Abs(got[0].Size.X-400) > 1 {
		t.Errorf("%+v", got)
	}
	if got := Between(mapWith(everywhere, rest), mapWith(everywhere, rest), .99); len(got) != 0 {
		t.Errorf("a region that is there still is named: %+v", got)
	}
	if got := Between(mapWith(nil), mapWith(nil, rest), .99); len(got) != 0 {
		t.Errorf("a region that the old map did not look at is not new: %+v", got)
	}
}

func TestWrittenChangesKeepTheirSchema(t *testing.T) {
	a, b := crate("block-1", r3.Vec{X: 900}), crate("block-2", r3.Vec{X: 900, Y: 1500})
	now := crate("block-1", r3.Vec{X: 903})
	all := Between(mapWith(everywhere, a, b), mapWith(everywhere, now), .99)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema.Changes))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	compiled, err := c.Compile("schema.json")
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := WriteJSON(&out, all, .99); err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(&out)
	if err == nil {
		err = compiled.Validate(v)
	}
	if err != nil {
		t.Error(err)
	}
	if got := sorts(all); got["block-1"] != Moved || got["block-2"] != Gone {
		t.Errorf("%v", got)
	}
}

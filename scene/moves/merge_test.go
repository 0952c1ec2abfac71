package moves

import (
	"bytes"
	"testing"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// cube is a solid of 100 mm at a place of a frame.
func cube(frame geom.Pose, at r3.Vec) solid.Solid {
	return solid.Box{Box: geom.Box{Pose: geom.Pose{R: frame.R, T: frame.Apply(at)}, Size: r3.Vec{X: 100, Y: 100, Z: 100}}}
}

func holder(s *scene.Scene, p r3.Vec) string {
	for i := range s.Objects {
		for _, b := range s.Objects[i].Solids {
			if b.Contains(p, 0) {
				return s.Objects[i].Name + "/" + string(s.Objects[i].Origin)
			}
		}
	}
	return ""
}

func TestSceneOfBothMaps(t *testing.T) {
	w := newWorld(21)
	old := w.mapped(7)
	old.Scans = []string{"a", "b", "c", "d", "e", "f", "g"}
	before := w.mill
	inMill, beside := r3.Vec{X: 600, Z: 700}, r3.Vec{X: -900, Y: 900}
	rest := scene.Object{Object: fit.Object{Name: "remainder", Kind: scene.Remainder}}
	rest.Solids = []solid.Solid{cube(before, inMill), cube(geom.Identity(), beside)}
	old.Objects = append(old.Objects, rest)
	old.Objects[1].Solids = []solid.Solid{cube(w.floor, r3.Vec{Y: 2000})}
	old.Objects[3].Solids = []solid.Solid{cube(before, r3.Vec{X: 1200, Z: 1500})}
	// Of a part on the machine's table both maps show the top: that it is as high as
	// it was says nothing of where it went but that it may have gone with the machine.
	part := func(s *scene.Scene, name string, scans ...int32) {
		o := w.object(name, fit.Block, "mill", w.mill, w.face("top", w.mill, r3.Vec{X: 400, Y: 300, Z: 900}, by(80, x), by(80, y), scans...))
		o.Solids = []solid.Solid{cube(w.mill, r3.Vec{X: 400, Y: 300, Z: 850})}
		s.Objects = append(s.Objects, o)
	}
	part(old, "block-7", 0, 1)
	w.mill.T = r3.Add(w.mill.T, r3.Vec{X: 60, Y: 25})
	now := w.mapped(3)
	now.Scans = []string{"h", "i", "j"}
	part(now, "block-8", 0, 2)
	now.Objects = append(now.Objects, w.object("block-9", fit.Block, "", geom.Identity(), w.face("top", geom.Identity(), r3.Vec{X: -800}, by(90, x), by(90, y), 0, 2)))
	now.Objects[len(now.Objects)-1].Solids = []solid.Solid{cube(geom.Identity(), r3.Vec{X: -800})}
	got, err := Compare(old, now, level).Scene(old, now)
	if err != nil {
		t.Fatal(err)
	}
	for want, p := range map[string]r3.Vec{
		"wall-1/old":               {Y: 2000},
		"mill/old-moved":           w.mill.Apply(r3.Vec{X: 1200, Z: 1500}),
		"remainder-mill/old-moved": w.mill.Apply(inMill),
		"remainder/old":            beside,
		"block-7/old-moved":        w.mill.Apply(r3.Vec{X: 400, Y: 300, Z: 850}),
		"block-9/new":              {X: -800},
	} {
		if name := holder(got, p); name != want {
			t.Errorf("at %v stands %q, want %q", p, name, want)
		}
	}
	var b bytes.Buffer
	if err := got.WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	again, err := scene.Read(&b)
	if err != nil {
		t.Fatal(err)
	}
	for i := range again.Objects {
		if o := &again.Objects[i]; o.Name == "block-9" && again.Scans[o.Faces[0].Scans[1]] != "j" {
			t.Errorf("the new block's scans are %v of %v", o.Faces[0].Scans, again.Scans)
		}
	}
}

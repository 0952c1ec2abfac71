package links

import (
	"encoding/xml"
	"strings"
	"testing"

	"cellwall/export/extent"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// bench is a box about its own datum and a pin of it, in base.
func bench(t *testing.T) *scene.Scene {
	t.Helper()
	at := geom.Pose{R: geom.RotFromRPY(0, 0, 0.5), T: r3.Vec{X: 1200, Y: -300, Z: 400}}
	wedge, err := solid.NewHull([]r3.Vec{{}, {X: 100}, {Y: 100}, {Z: 100}})
	if err != nil {
		t.Fatal(err)
	}
	return &scene.Scene{Cell: "a -- b", Objects: []scene.Object{{
		Object: fit.Object{Name: "bench", Kind: fit.Table, Pose: at}, Margin: 10,
		Solids: []solid.Solid{
			solid.Box{Box: geom.Box{Pose: at, Size: r3.Vec{X: 300, Y: 200, Z: 100}}},
			solid.Cylinder{Centre: at.Apply(r3.Vec{Z: 500}), Axis: at.R.Axis(2), Radius: 40, Height: 600},
			wedge,
		},
	}}}
}

func TestShapesStandInTheirLink(t *testing.T) {
	s := bench(t)
	for name, spell := range map[string]func(*scene.Scene, extent.Extent, string) ([]byte, []File, error){"URDF": URDF, "SDF": SDF} {
		text, files, err := spell(s, extent.Grown, "meshes")
		if err != nil {
			t.Fatal(err)
		}
		if err := xml.Unmarshal(text, new(struct{})); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if len(files) != 1 || !strings.HasPrefix(files[0].Name, "meshes/bench-3-") || !strings.Contains(string(text), files[0].Name) {
			t.Fatalf("%s: the meshes are %v", name, files)
		}
		if strings.HasPrefix(string(files[0].Data), "solid") {
			t.Errorf("%s: the mesh starts as an ASCII file does", name)
		}
	}
	text, _, err := URDF(s, extent.Grown, "meshes")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`<box size="0.32 0.22 0.12">`, `<cylinder radius="0.05" length="0.62">`, `<origin xyz="0 0 0.5"`,
		`<origin xyz="1.2 -0.3 0.4" rpy="0 0 0.5">`, "solids grown by their margins",
	} {
		if !strings.Contains(string(text), want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
}

// Names that SDF or the model keeps to itself are given away, and no two links
// share one.
func TestNames(t *testing.T) {
	s := &scene.Scene{}
	for _, n := range []string{"base", "world", "__model__", "a b", "a/b"} {
		s.Objects = append(s.Objects, scene.Object{Object: fit.Object{Name: n}})
	}
	taken := map[string]bool{"base": true, "world": true}
	for i, n := range names(s) {
		if taken[n] || strings.ContainsAny(n, " /") || strings.Contains(n, "__") {
			t.Errorf("%q becomes %q", s.Objects[i].Name, n)
		}
		taken[n] = true
	}
}

// A mesh's name holds what is in it, so one of another margin has another name.
func TestMeshesNeverChangeUnderTheirName(t *testing.T) {
	s := bench(t)
	_, first, err := URDF(s, extent.Grown, "m")
	if err != nil {
		t.Fatal(err)
	}
	_, second, err := URDF(s, extent.Fitted, "m")
	if err != nil {
		t.Fatal(err)
	}
	if first[0].Name == second[0].Name {
		t.Errorf("two meshes are called %s", first[0].Name)
	}
}

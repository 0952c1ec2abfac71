//go:build reference

package form

import (
	"context"
	"encoding/json"
	"math"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"cellwall/export/caution"
	"cellwall/export/extent"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// measured is what testdata/glb.mjs says of an object.
type measured struct {
	Name     string
	Min, Max [3]float64
	Volume   float64
	Extras   struct {
		Kind     string
		Located  *bool
		Inside   string
		Margin   float64     `json:"margin_mm"`
		SigmaXYZ *[3]float64 `json:"sigma_xyz_mm"`
		Scans    []string
	}
}

// The GLB must pass Khronos' glTF validator without a remark, and three's loaders
// (npm packages gltf-validator and three) must find each object where it is.
func TestGLBAndOBJAgainstThree(t *testing.T) {
	root, err := exec.Command("npm", "root", "-g").Output()
	if err != nil {
		t.Skip("npm is not installed")
	}
	modules := strings.TrimSpace(string(root))
	for _, m := range []string{"gltf-validator", "three"} {
		if found, _ := filepath.Glob(filepath.Join(modules, m)); found == nil {
			t.Skipf("%s is not installed (npm install -g %s)", m, m)
		}
	}
	s := sample(t)
	for _, e := range extent.All {
		glb, obj := write(t, "gltf", s, e), write(t, "obj", s, e)
		raw, err := exec.Command("node", filepath.Join("testdata", "glb.mjs"), modules, glb, obj).Output()
		if err != nil {
			t.Fatalf("%v\n%s", err, raw)
		}
		var read struct {
			Issues struct {
				Errors   int `json:"numErrors"`
				Warnings int `json:"numWarnings"`
				Infos    int `json:"numInfos"`
				Hints    int `json:"numHints"`
				Messages json.RawMessage
			}
			Nodes    []string
			Extras   struct{ Cautions []string }
			GLB, OBJ []measured
		}
		if err := json.Unmarshal(raw, &read); err != nil {
			t.Fatalf("%v\n%s", err, raw)
		}
		if i := read.Issues; i.Errors+i.Warnings+i.Infos+i.Hints > 0 {
			t.Errorf("the validator remarks: %s", i.Messages)
		}
		if !slices.Equal(read.Extras.Cautions, caution.Sentences) {
			t.Error("the file does not carry the cautions")
		}
		var filled []measured // the OBJ leaves objects without solids out
		for i := range s.Objects {
			o := &s.Objects[i]
			if read.Nodes[i] != o.Name {
				t.Errorf("node %d is %q, want %q", i, read.Nodes[i], o.Name)
			}
			evident(t, read.GLB[i], o)
			if len(o.Solids) > 0 {
				m := read.GLB[i]
				m.Name = o.Name
				filled = append(filled, m)
				alike(t, m, o, e, 1000, baseFromViewer)
			}
		}
		if len(read.OBJ) != len(filled) {
			t.Fatalf("the OBJ has %d groups, want %d", len(read.OBJ), len(filled))
		}
		for i, k := 0, 0; i < len(s.Objects); i++ {
			if len(s.Objects[i].Solids) > 0 {
				alike(t, read.OBJ[k], &s.Objects[i], e, 1, geom.IdentityRot())
				k++
			}
		}
	}
}

// baseFromViewer takes Y up back to Z up: (x, y, z) shows (x, z, -y).
var baseFromViewer = geom.Rot{{1, 0, 0}, {0, 0, -1}, {0, 1, 0}}

func write(t *testing.T, name string, s *scene.Scene, e extent.Extent) string {
	t.Helper()
	f, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "scene"+f.Suffix)
	if _, err := f.Write(context.Background(), path, s, e); err != nil {
		t.Fatal(err)
	}
	return path
}

func evident(t *testing.T, m measured, o *scene.Object) {
	t.Helper()
	x := m.Extras
	located := o.Kind != scene.Remainder
	if x.Kind != string(o.Kind) || x.Inside != o.Inside || x.Margin != o.Margin || x.Located == nil || *x.Located != located || (x.SigmaXYZ != nil) != located {
		t.Errorf("%s: the evidence is %+v", o.Name, x)
	}
	if want := len(o.Faces); len(x.Scans) != want || want > 0 && x.Scans[0] != "close pass" {
		t.Errorf("%s: seen by %v", o.Name, x.Scans)
	}
}

// alike compares box and volume of an object, whose file counts so many mm a
// unit, with ours. Single precision holds a metre to 0.1 um.
func alike(t *testing.T, m measured, o *scene.Object, e extent.Extent, unit float64, baseFromFile geom.Rot) {
	t.Helper()
	want, volume := geom.NoBounds(), 0.0
	for _, x := range o.Solids {
		mesh := x.Mesh(e.Margin(o))
		b := mesh.Bounds()
		want.Extend(b.Min)
		want.Extend(b.Max)
		volume += mesh.Volume()
	}
	got := geom.NoBounds()
	for _, v := range [][3]float64{m.Min, m.Max} {
		got.Extend(baseFromFile.Apply(r3.Scale(unit, r3.Vec{X: v[0], Y: v[1], Z: v[2]})))
	}
	if d := max(r3.Norm(r3.Sub(got.Min, want.Min)), r3.Norm(r3.Sub(got.Max, want.Max))); d > near {
		t.Errorf("%s (%v): the box is %g mm off", o.Name, e, d)
	}
	if v := m.Volume * unit * unit * unit; math.Abs(v-volume) > 1e-5*volume {
		t.Errorf("%s (%v): the volume is %g, want %g mm^3", o.Name, e, v, volume)
	}
}

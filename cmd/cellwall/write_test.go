package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/export/form"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// mappedBlock is a cell folder with nothing but a map of one block in it.
func mappedBlock(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	at := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 800}}
	s := &scene.Scene{Cell: "small", Objects: []scene.Object{{
		Object: fit.Object{Name: "block-1", Kind: fit.Block, Pose: at}, Margin: 20,
		Solids: []solid.Solid{solid.Box{Box: geom.Box{Pose: at, Size: r3.Vec{X: 300, Y: 200, Z: 100}}}},
	}}}
	if err := os.Mkdir(filepath.Join(dir, "map"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := writeFile(filepath.Join(dir, "map", sceneFile), s.WriteJSON); err != nil {
		t.Fatal(err)
	}
	return dir
}

func TestWriteEveryFormat(t *testing.T) {
	cell := mappedBlock(t)
	for _, f := range form.All {
		var out, errs strings.Builder
		if got := run([]string{"write", cell, "--as", f.Name, "--json"}, &out, &errs); got != statusDone {
			t.Fatalf("%s: status %d: %s", f.Name, got, errs.String())
		}
		var r writtenResult
		if err := json.Unmarshal([]byte(out.String()), &r); err != nil {
			t.Fatal(err)
		}
		want := filepath.Join(cell, "map", "scene"+f.Suffix)
		if r.Format != f.Name || r.Extent != f.Usual.String() || r.Objects != 1 || r.Solids != 1 || r.Files[0] != want {
			t.Errorf("%s: %+v", f.Name, r)
		}
		if _, err := os.Stat(want); err != nil {
			t.Error(err)
		}
	}
}

// The table's size column shows which extent was written, and --out where.
func TestWriteTakesExtentAndFile(t *testing.T) {
	cell := mappedBlock(t)
	file := filepath.Join(t.TempDir(), "objects.csv")
	for extent, size := range map[string]string{"grown": ",340,240,140,grown,20,", "fitted": ",300,200,100,fitted,20,"} {
		var out, errs strings.Builder
		if got := run([]string{"write", cell, "--as", "csv", "--solids", extent, "--out", file}, &out, &errs); got != statusDone {
			t.Fatalf("status %d: %s", got, errs.String())
		}
		text, err := os.ReadFile(file)
		if err != nil || !strings.Contains(string(text), size) {
			t.Errorf("%s: %q is missing in\n%s", extent, size, text)
		}
		if !strings.Contains(out.String(), file) {
			t.Errorf("the file is not named: %s", out.String())
		}
	}
}

// One clear error each, status 2, and nothing written.
func TestWriteRefuses(t *testing.T) {
	good := mappedBlock(t)
	damaged, later := mappedBlock(t), mappedBlock(t)
	replace(t, filepath.Join(damaged, "map", sceneFile), `"block-1"`, `"block-1`)
	replace(t, filepath.Join(later, "map", sceneFile), scene.Format, "cellwall.scene/9")
	empty := t.TempDir()
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{good}, []string{"format", "gltf", "step"}},
		{[]string{good, "--as", "docx"}, []string{`"docx"`, "urdf"}},
		{[]string{good, "--as", "obj", "--solids", "fat"}, []string{`"fat"`, "grown", "fitted"}},
		{[]string{empty, "--as", "obj"}, []string{"no map yet", "cellwall map " + empty}},
		{[]string{filepath.Join(good, "map", sceneFile), "--as", "obj"}, []string{"it is a file", "cell folder"}},
		{[]string{filepath.Join(empty, "nowhere"), "--as", "obj"}, []string{"no such folder", "nowhere"}},
		{[]string{good, "--map", empty, "--as", "obj"}, []string{"no map", empty}},
		{[]string{damaged, "--as", "obj"}, []string{"scene.json:", "map the cell again"}},
		{[]string{later, "--as", "obj"}, []string{"cellwall.scene/9", "map the cell again"}},
		{[]string{good, "--as", "obj", "--out", good}, []string{"is a folder"}},
		{[]string{good, "--as", "urdf", "--out", filepath.Join(empty, "none", "a.urdf")}, []string{"does not exist"}},
		{nil, []string{"CELL"}},
	} {
		var out, errs strings.Builder
		if got := run(append([]string{"write"}, c.args...), &out, &errs); got != statusWrong {
			t.Errorf("%v: status %d, want %d", c.args, got, statusWrong)
		}
		for _, w := range c.want {
			if !strings.Contains(errs.String(), w) {
				t.Errorf("%v: %q does not say %q", c.args, errs.String(), w)
			}
		}
		if n := strings.Count(errs.String(), "\n"); n != 1 || out.Len() > 0 {
			t.Errorf("%v: want one line of error and no result, got %q and %q", c.args, errs.String(), out.String())
		}
	}
	for _, cell := range []string{good, damaged, later} {
		if left, _ := os.ReadDir(filepath.Join(cell, "map")); len(left) != 1 {
			t.Errorf("%v is left in the map", left)
		}
	}
}

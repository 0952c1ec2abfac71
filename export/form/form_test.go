package form

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/export/extent"
	"cellwall/fit"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestFindKnowsNamesAndEndings(t *testing.T) {
	for name, want := range map[string]string{"gltf": "gltf", "glb": "gltf", ".glb": "gltf", "step": "step", "csv": "csv"} {
		if f, err := Find(name); err != nil || f.Name != want {
			t.Errorf("Find(%q) is %q, %v", name, f.Name, err)
		}
	}
	for _, name := range []string{"", ".", "doc", "GLTF"} {
		if _, err := Find(name); err == nil || !strings.Contains(err.Error(), "urdf") {
			t.Errorf("Find(%q) must name the formats there are, got %v", name, err)
		}
	}
}

// What a file says of its solids is what they are: the two extents differ, each
// says which it is, and the same scene gives the same bytes.
func TestEveryFormSaysItsExtent(t *testing.T) {
	s := sample(t)
	for _, f := range All {
		var text [2]string
		for i, e := range extent.All {
			data, _, err := f.render(s, e, "meshes")
			if err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
			again, _, err := f.render(s, e, "meshes")
			if err != nil || !bytes.Equal(data, again) {
				t.Errorf("%s: a second run gives other bytes (%v)", f.Name, err)
			}
			text[i] = string(data)
			if !strings.Contains(text[i], e.String()) {
				t.Errorf("%s: nothing says that the solids are %v", f.Name, e)
			}
		}
		if text[0] == text[1] {
			t.Errorf("%s: with and without margins are the same", f.Name)
		}
	}
}

func TestWriteReplacesWhole(t *testing.T) {
	s := sample(t)
	for _, f := range All {
		dir := t.TempDir()
		path := filepath.Join(dir, "out"+f.Suffix)
		if err := os.WriteFile(path, []byte("old"), 0o644); err != nil {
			t.Fatal(err)
		}
		files, err := f.Write(context.Background(), path, s, f.Usual)
		if err != nil {
			t.Fatalf("%s: %v", f.Name, err)
		}
		if files[0] != path {
			t.Errorf("%s: the first file is %s", f.Name, files[0])
		}
		for _, file := range files {
			if info, err := os.Stat(file); err != nil || info.Size() < 100 {
				t.Errorf("%s: %s: %v", f.Name, file, err)
			}
		}
		if got := count(t, dir); got != len(files) {
			t.Errorf("%s: %d files in the folder, %d written", f.Name, got, len(files))
		}
	}
}

// A scene that cannot be written, or an interrupt, leaves what stood, meshes too.
func TestWriteKeepsTheOldOnFailure(t *testing.T) {
	cancelled, cancel := context.WithCancel(context.Background())
	cancel()
	broken := sample(t)
	broken.Objects[0].Solids = append(broken.Objects[0].Solids, flatSolid{broken.Objects[0].Solids[0]})
	moved := sample(t)
	moved.Objects[2].Margin++ // other meshes
	for _, f := range All {
		dir := t.TempDir()
		path := filepath.Join(dir, "out"+f.Suffix)
		if _, err := f.Write(context.Background(), path, sample(t), extent.Grown); err != nil {
			t.Fatal(err)
		}
		before, files := read(t, path), count(t, dir)
		if _, err := f.Write(cancelled, path, moved, extent.Grown); err == nil {
			t.Errorf("%s: an interrupt went unnoticed", f.Name)
		}
		if f.Name == "gltf" || f.Name == "urdf" || f.Name == "sdf" || f.Name == "obj" {
			if _, err := f.Write(context.Background(), path, broken, extent.Grown); err == nil || !strings.Contains(err.Error(), `"floor"`) {
				t.Errorf("%s: a flat solid must be refused by its object's name, got %v", f.Name, err)
			}
		}
		if !bytes.Equal(before, read(t, path)) || count(t, dir) != files {
			t.Errorf("%s: what stood was changed", f.Name)
		}
	}
}

// flatSolid has a mesh without thickness, as no sound scene has.
type flatSolid struct{ solid.Solid }

func (flatSolid) Mesh(float64) solid.Mesh {
	return solid.Mesh{Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}}, Faces: [][3]int32{{0, 1, 2}, {0, 2, 1}}}
}

// Meshes that a later file no longer needs go, files of others stay.
func TestWriteClearsItsOwnMeshesOnly(t *testing.T) {
	f, err := Find("urdf")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "cell.urdf")
	if _, err := f.Write(context.Background(), path, sample(t), extent.Grown); err != nil {
		t.Fatal(err)
	}
	folder := filepath.Join(dir, "cell-urdf-meshes")
	own := filepath.Join(folder, "mine.stl")
	if err := os.WriteFile(own, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	boxes := &scene.Scene{Cell: "boxes", Objects: sample(t).Objects[:1]}
	for range 2 {
		if _, err := f.Write(context.Background(), path, boxes, extent.Grown); err != nil {
			t.Fatal(err)
		}
		if got := count(t, folder); got != 1 {
			t.Errorf("%d files left in the folder, want the one that is not ours", got)
		}
	}
	if err := os.Remove(own); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Write(context.Background(), path, boxes, extent.Grown); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(folder); !os.IsNotExist(err) {
		t.Errorf("the empty folder of meshes stays: %v", err)
	}
}

// A scene with nothing in it is written, too: not located is an answer.
func TestEmptyScene(t *testing.T) {
	s := &scene.Scene{Cell: "", NotLocated: []fit.Refusal{{Name: "vise", Kind: fit.Vise, Reason: "never seen"}}}
	for _, f := range All {
		if data, _, err := f.render(s, f.Usual, "meshes"); err != nil || len(data) == 0 {
			t.Errorf("%s: %d bytes, %v", f.Name, len(data), err)
		}
	}
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// count the files in a folder and those below it.
func count(t *testing.T, dir string) int {
	t.Helper()
	n := 0
	err := filepath.WalkDir(dir, func(_ string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			n++
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

package export

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/export/report"
	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

func sample() Map {
	box := solid.Box{Box: geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 900}}, Size: r3.Vec{X: 300, Y: 200, Z: 100}}}
	v := mapping.Voxel{Toward: r3.Vec{Z: 1}, Range: 500}
	v.Add(r3.Vec{X: 900, Z: 50}, 1)
	return Map{
		Scene: &scene.Scene{Cell: "cell", Objects: []scene.Object{
			{Object: fit.Object{Name: "block/1", Kind: fit.Block, Pose: box.Pose}, Solids: []solid.Solid{box}, Margin: 20},
		}},
		Cloud: &mapping.Cloud{Scans: []string{"s"}, Voxels: []mapping.Voxel{v}},
		Other: []report.File{{Name: "scene.json", What: "the scene"}},
	}
}

func TestWriteMakesEveryFile(t *testing.T) {
	dir := t.TempDir()
	if err := Write(dir, sample()); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{
		"scene.stl", "solids/block-1.stl", "cloud.ply", "report.html",
		"drawings/plan.svg", "drawings/front.svg", "drawings/side.svg", "drawings/isometric.svg", "drawings/check.svg", "drawings/drawings.pdf",
	} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() == 0 {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestWriteWithoutACloud(t *testing.T) {
	dir := t.TempDir()
	m := sample()
	m.Cloud = nil
	if err := Write(dir, m); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(dir, "cloud.ply")); err == nil {
		t.Error("a cloud was written of none")
	}
}

func TestWriteSaysWhatFailed(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "cloud.ply"), 0o755); err != nil { // in the file's way
		t.Fatal(err)
	}
	if err := Write(dir, sample()); err == nil || !strings.Contains(err.Error(), "writing the cloud") || !strings.Contains(err.Error(), "cloud.ply") {
		t.Errorf("got %v", err)
	}
}

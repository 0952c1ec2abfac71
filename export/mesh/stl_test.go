package mesh

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/fit"
	"cellwall/scene"
	"cellwall/scene/solid"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"
)

// fixed is a solid that is nothing but a mesh.
type fixed struct {
	solid.Solid
	mesh solid.Mesh
}

func (f fixed) Mesh(float64) solid.Mesh { return f.mesh }

// sample has an object of one box, one of two boxes that abut in a whole face,
// one that is a tetrahedron and one without any solid.
func sample() *scene.Scene {
	left, right := box(r3.Vec{X: 100, Y: 100, Z: 100}), box(r3.Vec{X: 100, Y: 100, Z: 100})
	right.Pose.T = right.Pose.Apply(r3.Vec{X: 100})
	return &scene.Scene{Cell: "solid cell", Objects: []scene.Object{
		{Object: fit.Object{Name: "block/1"}, Solids: []solid.Solid{box(r3.Vec{X: 300, Y: 200, Z: 100})}, Margin: 20},
		{Object: fit.Object{Name: "pair"}, Solids: []solid.Solid{left, right}},
		{Object: fit.Object{Name: "wedge"}, Solids: []solid.Solid{fixed{mesh: tetrahedron()}}},
		{Object: fit.Object{Name: "seen only"}},
	}}
}

// Sizes of a binary STL: 84 + 50 bytes a facet, so 684 for a box and 284 for a
// tetrahedron.
func TestWrite(t *testing.T) {
	dir := t.TempDir()
	if err := Write(dir, sample()); err != nil {
		t.Fatal(err)
	}
	for file, size := range map[string]int64{
		"solids/block-1.stl": 684, "solids/pair.stl": 84 + 24*50, "solids/wedge.stl": 284, "scene.stl": 84 + 40*50,
	} {
		info, err := os.Stat(filepath.Join(dir, file))
		if err != nil {
			t.Fatal(err)
		}
		if info.Size() != size {
			t.Errorf("%s has %d bytes, want %d", file, info.Size(), size)
		}
		head, err := os.ReadFile(filepath.Join(dir, file))
		if err != nil {
			t.Fatal(err)
		}
		if bytes.HasPrefix(head, []byte("solid")) {
			t.Errorf("%s starts as an ASCII file does", file)
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "solids/seen-only.stl")); err == nil {
		t.Error("an object without solids has a file")
	}
}

func TestWriteGrowsByTheMargin(t *testing.T) {
	dir := t.TempDir()
	if err := Write(dir, sample()); err != nil {
		t.Fatal(err)
	}
	s, err := stl.ReadFile(filepath.Join(dir, "solids/block-1.stl"))
	if err != nil {
		t.Fatal(err)
	}
	grown := box(r3.Vec{X: 340, Y: 240, Z: 140})
	for _, f := range s.Triangles {
		for _, v := range f.Vertices {
			if !grown.Box.Grown(1e-3).Contains(wide(v)) || grown.Box.Grown(-1e-3).Contains(wide(v)) {
				t.Fatalf("corner %v is not on the box grown by 20 mm", v)
			}
		}
	}
}

func TestWriteIsTheSameEveryTime(t *testing.T) {
	var first []byte
	for range 3 {
		dir := t.TempDir()
		if err := Write(dir, sample()); err != nil {
			t.Fatal(err)
		}
		b, err := os.ReadFile(filepath.Join(dir, SceneFile))
		if err != nil {
			t.Fatal(err)
		}
		if first != nil && !bytes.Equal(first, b) {
			t.Fatal("the bytes differ")
		}
		first = b
	}
}

func TestWriteNamesTheFaultySolid(t *testing.T) {
	s := sample()
	open := tetrahedron()
	open.Faces = open.Faces[:3]
	s.Objects[2].Solids[0] = fixed{mesh: open}
	err := Write(t.TempDir(), s)
	if err == nil || !strings.Contains(err.Error(), `solid 1 of object "wedge"`) {
		t.Errorf("got %v", err)
	}
}

func TestHeaderFits(t *testing.T) {
	h := header(strings.Repeat("é", 200))
	if len(h) != headerSize || bytes.ContainsFunc(h, func(r rune) bool { return r > '~' }) {
		t.Errorf("header %q", h)
	}
}

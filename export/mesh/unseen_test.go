package mesh

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"cellwall/scene"
	"cellwall/scene/space"

	"github.com/hschendel/stl"
)

// murky is a scene of which every second voxel in reach was never looked into.
func murky(t *testing.T) *scene.Scene {
	t.Helper()
	const n = 12
	file := bytes.NewBufferString(fmt.Sprintf(
		`{"format":"cellwall.space/1","frame":"base","voxel_mm":40,"origin_mm":[-200,-3000,-80],"count":[%d,%d,%d]}`+"\n", n, n, n))
	rng := rand.New(rand.NewPCG(8, 8))
	for range n * n * n {
		file.WriteByte(byte(1<<3 | 1<<2 | rng.IntN(2))) // one voxel in reach, unseen or clear
	}
	states, err := space.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	return &scene.Scene{Cell: "murky", States: states}
}

func TestUnseenSpaceIsWritten(t *testing.T) {
	s, dir := murky(t), t.TempDir()
	if err := WriteUnseen(dir, s); err != nil {
		t.Fatal(err)
	}
	file, err := stl.ReadFile(filepath.Join(dir, UnseenFile))
	if err != nil {
		t.Fatal(err)
	}
	if want := len(s.States.Surface().Faces); len(file.Triangles) != want || want < 1000 {
		t.Errorf("%d facets, want %d", len(file.Triangles), want)
	}
	none := t.TempDir()
	if err := WriteUnseen(none, &scene.Scene{}); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(none, UnseenFile)); err == nil {
		t.Error("a scene without states has a file of unseen space")
	}
}

//go:build reference

package mesh

import (
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"cellwall/fit"
	"cellwall/scene"
	"cellwall/scene/solid"
)

// ADMesh 0.98 (Debian package admesh) checks facets, edges, orientation and
// volume on its own.
func TestFilesStandADMesh(t *testing.T) {
	tool, err := exec.LookPath("admesh")
	if err != nil {
		t.Skip("admesh is not installed")
	}
	s := sample()
	rng := rand.New(rand.NewPCG(5, 6))
	for range 10 {
		s.Objects[2].Solids = append(s.Objects[2].Solids, fixed{mesh: bipyramid(30, rng)})
	}
	dir := t.TempDir()
	if err := Write(dir, s); err != nil {
		t.Fatal(err)
	}
	all := 0.0
	for i, file := range []string{"block-1", "pair", "wedge"} {
		v := volume(t, &s.Objects[i])
		all += v
		check(t, tool, filepath.Join(dir, SolidsFolder, file+".stl"), v, len(s.Objects[i].Solids))
	}
	check(t, tool, filepath.Join(dir, SceneFile), all, 14)
}

// The surface round unseen voxels that lie in all ways to each other.
func TestUnseenSpaceStandsADMesh(t *testing.T) {
	tool, err := exec.LookPath("admesh")
	if err != nil {
		t.Skip("admesh is not installed")
	}
	s, dir := murky(t), t.TempDir()
	if err := WriteUnseen(dir, s); err != nil {
		t.Fatal(err)
	}
	out := report(t, tool, filepath.Join(dir, UnseenFile))
	if got, want := number(t, out, "Volume"), s.States.Surface().Volume(); math.Abs(got-want) > 1e-4*want {
		t.Errorf("volume %g, ADMesh finds %g", want, got)
	}
}

func volume(t *testing.T, o *scene.Object) float64 {
	v := 0.0
	for _, s := range o.Solids {
		f, err := Round(s.Mesh(o.Margin))
		if err != nil {
			t.Fatal(err)
		}
		v += f.Volume()
	}
	return v
}

// check holds a file against ADMesh's exact check, its parts and its volume.
func check(t *testing.T, tool, file string, volume float64, parts int) {
	t.Helper()
	out := report(t, tool, file)
	if got := number(t, out, "Number of parts"); got != float64(parts) {
		t.Errorf("%s: %g parts, want %d", filepath.Base(file), got, parts)
	}
	if got := number(t, out, "Volume"); math.Abs(got-volume) > 1e-4*volume {
		t.Errorf("%s: volume %g, ADMesh finds %g", filepath.Base(file), volume, got)
	}
}

// report is ADMesh's exact check of a file's edges and orientation, in which
// nothing may be wrong.
func report(t *testing.T, tool, file string) []byte {
	t.Helper()
	out, err := exec.Command(tool, "--exact", "--normal-directions", "--normal-values", file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for name, want := range map[string]float64{
		"Degenerate facets": 0, "Edges fixed": 0, "Facets removed": 0,
		"Facets added": 0, "Facets reversed": 0, "Backwards edges": 0, "Normals fixed": 0,
		"Total disconnected facets": 0,
	} {
		if got := number(t, out, name); got != want {
			t.Errorf("%s: %s is %g, want %g\n%s", filepath.Base(file), name, got, want, out)
		}
	}
	return out
}

// number is the last figure behind a name in ADMesh's report: what is left
// after its repairs.
func number(t *testing.T, report []byte, name string) float64 {
	t.Helper()
	m := regexp.MustCompile(regexp.QuoteMeta(name) + `\s*:\s*([-\d.]+)(?:[ \t]+([-\d.]+))?`).FindSubmatch(report)
	if m == nil {
		t.Fatalf("ADMesh does not report %q\n%s", name, report)
	}
	last := m[1]
	if len(m[2]) > 0 {
		last = m[2]
	}
	v, err := strconv.ParseFloat(string(last), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Every kind of solid that a scene is made of.
func TestSolidsStandADMesh(t *testing.T) {
	tool, err := exec.LookPath("admesh")
	if err != nil {
		t.Skip("admesh is not installed")
	}
	rng := rand.New(rand.NewPCG(7, 8))
	var made []solid.Solid
	for len(made) < 60 {
		made = append(made, anySolid(t, rng))
	}
	for _, margin := range []float64{0, 20} {
		s := &scene.Scene{Objects: []scene.Object{{Object: fit.Object{Name: "all"}, Solids: made, Margin: margin}}}
		dir := t.TempDir()
		if err := Write(dir, s); err != nil {
			t.Fatal(err)
		}
		check(t, tool, filepath.Join(dir, SceneFile), volume(t, &s.Objects[0]), len(made))
	}
}

//go:build reference

package form

import (
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/export/extent"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"
)

// Models are read by their own formats' libraries: urdfdom 3.0 (Debian package
// liburdfdom-dev) and SDFormat 12 (libsdformat-dev). Every shape must be where
// it was and as large as it was.
func TestURDFAgainstURDFDOM(t *testing.T) { readModel(t, "urdf", "urdfdom") }

func TestSDFAgainstSDFormat(t *testing.T) { readModel(t, "sdf", "sdformat12") }

func readModel(t *testing.T, name, library string) {
	reader := compile(t, name, library)
	f, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	s := sample(t)
	for _, e := range extent.All {
		path := filepath.Join(t.TempDir(), "model with a space"+f.Suffix)
		if _, err := f.Write(context.Background(), path, s, e); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(reader, path).Output()
		if err != nil {
			t.Fatalf("%s does not take the file: %v", library, err)
		}
		read := map[string][]string{}
		for line := range strings.Lines(string(out)) {
			link, rest, _ := strings.Cut(strings.TrimSpace(line), "\t")
			read[link] = append(read[link], rest)
		}
		for i, link := range []string{"floor", "base-2", "Fr-se-1-a", "o-vise-----left", "seen-only", "remainder"} {
			o := &s.Objects[i]
			if len(read[link]) != len(o.Solids) {
				t.Fatalf("link %s has %d shapes, want %d; read:\n%s", link, len(read[link]), len(o.Solids), out)
			}
			for k, x := range o.Solids {
				same(t, filepath.Dir(path), read[link][k], x, e.Margin(o))
			}
		}
	}
}

// compile builds the C++ reader of a format.
func compile(t *testing.T, name, library string) string {
	flags, err := exec.Command("pkg-config", "--cflags", "--libs", library).Output()
	if err != nil {
		t.Skipf("%s or pkg-config is not installed", library)
	}
	out := filepath.Join(t.TempDir(), name)
	args := append([]string{"-std=c++17", "-o", out, filepath.Join("testdata", name+".cc")}, strings.Fields(string(flags))...)
	if text, err := exec.Command("g++", args...).CombinedOutput(); err != nil {
		t.Skipf("g++ cannot build the reader: %v\n%s", err, text)
	}
	return out
}

// near is how well a length in metres with seven decimals gives back mm.
const near = 1e-3

// same holds a line of a reader against the solid that it should be.
func same(t *testing.T, dir, line string, x solid.Solid, margin float64) {
	t.Helper()
	col := strings.Split(line, "\t")
	var p [7]float64
	if _, err := fmt.Sscan(col[0], &p[0], &p[1], &p[2], &p[3], &p[4], &p[5], &p[6]); err != nil {
		t.Fatal(err)
	}
	r, err := geom.RotFromQuat(p[3], p[4], p[5], p[6])
	if err != nil {
		t.Fatal(err)
	}
	at := geom.Pose{R: r, T: r3.Scale(1000, r3.Vec{X: p[0], Y: p[1], Z: p[2]})}
	switch x := x.(type) {
	case solid.Box:
		var v r3.Vec
		scan(t, "box", col, &v.X, &v.Y, &v.Z)
		got := geom.Box{Pose: at, Size: r3.Scale(1000, v)}.Corners()
		for i, c := range x.Grown(margin).Corners() {
			if d := r3.Norm(r3.Sub(c, got[i])); d > near {
				t.Errorf("%s: a corner is %g mm off", line, d)
			}
		}
	case solid.Cylinder:
		var radius, length float64
		scan(t, "cylinder", col, &radius, &length)
		off := max(math.Abs(1000*radius-x.Radius-margin), math.Abs(1000*length-x.Height-2*margin), r3.Norm(r3.Sub(at.T, x.Centre)))
		if tilt := r3.Norm(r3.Cross(at.R.Axis(2), x.Axis)); off > near || tilt > 1e-8 {
			t.Errorf("%s: %g mm and %g rad off", line, off, tilt)
		}
	default:
		if col[1] != "mesh" {
			t.Fatalf("%s: want a mesh", line)
		}
		sameMesh(t, filepath.Join(dir, col[2]), at, x.Mesh(margin))
	}
}

func scan(t *testing.T, shape string, col []string, into ...any) {
	t.Helper()
	if col[1] != shape {
		t.Fatalf("%v: want a %s", col, shape)
	}
	if _, err := fmt.Sscan(col[2], into...); err != nil {
		t.Fatal(err)
	}
}

// sameMesh compares a mesh file, in metres, with what it should be in base.
func sameMesh(t *testing.T, path string, baseFromFile geom.Pose, want solid.Mesh) {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		t.Fatal(err)
	}
	s, err := stl.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	b := geom.NoBounds()
	for _, tri := range s.Triangles {
		for _, v := range tri.Vertices {
			b.Extend(baseFromFile.Apply(r3.Vec{X: 1000 * float64(v[0]), Y: 1000 * float64(v[1]), Z: 1000 * float64(v[2])}))
		}
	}
	w := want.Bounds()
	if d := max(r3.Norm(r3.Sub(b.Min, w.Min)), r3.Norm(r3.Sub(b.Max, w.Max))); d > near {
		t.Errorf("%s is %g mm off", path, d)
	}
	if len(s.Triangles) != len(want.Faces) {
		t.Errorf("%s has %d facets, want %d", path, len(s.Triangles), len(want.Faces))
	}
}

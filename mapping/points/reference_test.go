//go:build reference

package points

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// debianPython is the interpreter for which Debian builds its modules.
const debianPython = "/usr/bin/python3"

// random points whose coordinates a float32 holds exactly, so that no encoding
// rounds them.
func random(n int) Batch {
	rng := rand.New(rand.NewPCG(5, 6))
	column := func() []float64 {
		c := make([]float64, n)
		for i := range c {
			c[i] = float64(float32(1000 * rng.NormFloat64()))
		}
		return c
	}
	return Batch{X: column(), Y: column(), Z: column(), Intensity: column()}
}

// PCL 1.13 turns our text into its binary and its compressed form.
func TestPCDAgainstPCL(t *testing.T) {
	const tool = "pcl_convert_pcd_ascii_binary"
	if _, err := exec.LookPath(tool); err != nil {
		t.Skipf("%s is not installed (Debian: pcl-tools)", tool)
	}
	want := random(100_000)
	var text bytes.Buffer
	fmt.Fprintf(&text, "VERSION 0.7\nFIELDS x y z intensity\nSIZE 4 4 4 4\nTYPE F F F F\nCOUNT 1 1 1 1\nWIDTH %[1]d\nHEIGHT 1\nVIEWPOINT 0 0 0 1 0 0 0\nPOINTS %[1]d\nDATA ascii\n", want.Len())
	for i := range want.X {
		fmt.Fprintf(&text, "%g %g %g %g\n", float32(want.X[i]), float32(want.Y[i]), float32(want.Z[i]), float32(want.Intensity[i]))
	}
	in := write(t, "in.pcd", text.Bytes())
	for name, mode := range map[string]string{"binary": "1", "binary_compressed": "2"} {
		out := filepath.Join(t.TempDir(), name+".pcd")
		if log, err := exec.Command(tool, in, out, mode).CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, log)
		}
		if content, err := os.ReadFile(out); err != nil || !bytes.Contains(content[:300], []byte("DATA "+name+"\n")) {
			t.Fatalf("PCL did not write %s (%v)", name, err)
		}
		got, err := readAll(out)
		if err != nil {
			t.Fatal(err)
		}
		sameScan(t, got, want)
	}
}

// open3D runs a script with the folder as its argument, where Open3D 0.16 is
// there.
func open3D(t *testing.T, dir, script string) {
	t.Helper()
	if err := exec.Command(debianPython, "-c", "import open3d").Run(); err != nil {
		t.Skip("Open3D is not installed (Debian: python3-open3d)")
	}
	cmd := exec.Command(debianPython, "-c", "import sys, numpy as np, open3d as o3d\nd = sys.argv[1] + '/'\n"+script, dir)
	if log, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, log)
	}
}

// coordinates reads the little-endian doubles that the script left.
func coordinates(t *testing.T, path string) Batch {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var b Batch
	for ; len(raw) >= 24; raw = raw[24:] {
		for i, c := range []*[]float64{&b.X, &b.Y, &b.Z} {
			*c = append(*c, math.Float64frombits(binary.LittleEndian.Uint64(raw[8*i:])))
		}
	}
	return b
}

// What Open3D writes, with normals and colours to pass over. Its PLY holds
// doubles, its PCD floats.
func TestWhatOpen3DWrites(t *testing.T) {
	dir := t.TempDir()
	open3D(t, dir, `
rng = np.random.default_rng(7)
p = o3d.geometry.PointCloud(o3d.utility.Vector3dVector(1e3*rng.normal(size=(30000, 3)).astype(np.float32).astype(float)))
p.normals = o3d.utility.Vector3dVector(rng.normal(size=(30000, 3)))
p.colors = o3d.utility.Vector3dVector(rng.uniform(size=(30000, 3)))
pts = np.asarray(p.points).astype(np.float32).astype(float)
p.points = o3d.utility.Vector3dVector(pts)
pts.tofile(d + 'points')
for name, how in {'text.ply': dict(write_ascii=True), 'binary.ply': {}, 'text.pcd': dict(write_ascii=True), 'binary.pcd': {}, 'compressed.pcd': dict(compressed=True)}.items():
    assert o3d.io.write_point_cloud(d + name, p, **how), name
`)
	want := coordinates(t, filepath.Join(dir, "points"))
	if want.Len() != 30000 {
		t.Fatalf("%d points", want.Len())
	}
	for _, name := range []string{"text.ply", "binary.ply", "text.pcd", "binary.pcd", "compressed.pcd"} {
		got, err := readAll(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		tolerance := 0.0
		if filepath.Ext(name) == ".ply" && name[0] == 't' || name == "text.pcd" {
			tolerance = 0.00501 // half of the sixth digit of less than 10 000 mm, and its rounding
		}
		near(t, name, got, want, tolerance)
	}
}

// Open3D and we read the same points from files of every encoding.
func TestWhatOpen3DReads(t *testing.T) {
	files, _ := inEveryFormat()
	dir := t.TempDir()
	names := []string{"ascii.ply", "crlf.ply", "little.ply", "big.ply", "big-lists.ply", "little-lists.ply"}
	for _, name := range names {
		if err := os.WriteFile(filepath.Join(dir, name), files[name], 0o644); err != nil {
			t.Fatal(err)
		}
	}
	open3D(t, dir, `
import glob
for name in glob.glob(d + '*.ply'):
    np.asarray(o3d.io.read_point_cloud(name, remove_nan_points=False).points).tofile(name + '.points')
`)
	for _, name := range names {
		path := filepath.Join(dir, name)
		got, err := readAll(path)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name, got, coordinates(t, path+".points"), 0)
	}
}

func near(t *testing.T, name string, got, want Batch, tolerance float64) {
	t.Helper()
	if got.Len() != want.Len() {
		t.Fatalf("%s: %d points, want %d", name, got.Len(), want.Len())
	}
	for i := range got.X {
		for _, pair := range [][2]float64{{got.X[i], want.X[i]}, {got.Y[i], want.Y[i]}, {got.Z[i], want.Z[i]}} {
			if d := math.Abs(pair[0] - pair[1]); !(d <= tolerance) && !(math.IsNaN(pair[0]) && math.IsNaN(pair[1])) {
				t.Fatalf("%s: point %d is off by %g", name, i, d)
			}
		}
	}
}

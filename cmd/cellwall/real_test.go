package main

import (
	"archive/tar"
	"bufio"
	"compress/bzip2"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// realData is a file of the Debian packages that .ci/run unpacks below the
// folder that CELLWALL_REAL_DATA names. The test is skipped where it is absent.
func realData(t *testing.T, name string) string {
	t.Helper()
	root := os.Getenv("CELLWALL_REAL_DATA")
	if root == "" {
		t.Skip("CELLWALL_REAL_DATA is not set: .ci/run fetches the real scans")
	}
	path := filepath.Join(root, name)
	if _, err := os.Stat(path); err != nil {
		t.Skipf("real scan %s is absent: %v", name, err)
	}
	return path
}

// stillCell wraps one still scan in metres in a cell folder.
func stillCell(t *testing.T, scan, origin string) string {
	t.Helper()
	dir := t.TempDir()
	text := fmt.Sprintf("format: cellwall.cell/1\nname: real scan\nscans:\n"+
		"  - {name: still, points: %q, units: m, placed: {xyz_mm: [0, 0, 0], rpy_deg: [0, 0, 0]}, origin_mm: %s}\n", scan, origin)
	if err := os.WriteFile(filepath.Join(dir, "cell.yaml"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// mappedScene is the part of scene.json that these tests look at.
type mappedScene struct {
	Objects []struct {
		Name, Kind string
		Surfaces   []struct {
			Normal [3]float64 `json:"normal"`
			Offset float64    `json:"offset_mm"`
			Points int        `json:"points"`
			RMS    float64    `json:"rms_mm"`
		}
	}
	Points struct{ Read, Used int64 }
}

// mapped maps the cell folder dir through the command itself.
func mapped(t *testing.T, dir string) mappedScene {
	t.Helper()
	if got := run([]string{"map", "--quiet", dir}, io.Discard, os.Stderr); got != statusDone {
		t.Fatalf("cellwall map ended with status %d", got)
	}
	text, err := os.ReadFile(filepath.Join(dir, "map", sceneFile))
	if err != nil {
		t.Fatal(err)
	}
	var s mappedScene
	if err := json.Unmarshal(text, &s); err != nil {
		t.Fatal(err)
	}
	return s
}

// TestRealHall maps the scan of Debian's liboctomap-dev, 88 206 points of a
// hall. Its floor has an rms of about 6 mm and its walls 8 to 10 mm, as an
// independent fit found (project's table of check values); a surface that
// took in what does not belong to it would show a larger one.
func TestRealHall(t *testing.T) {
	packed, err := os.Open(realData(t, "usr/share/doc/liboctomap-dev/examples/data/scan.dat.bz2"))
	if err != nil {
		t.Fatal(err)
	}
	defer packed.Close()
	scan := filepath.Join(t.TempDir(), "scan.csv")
	out, err := os.Create(scan)
	if err != nil {
		t.Fatal(err)
	}
	w := bufio.NewWriter(out)
	fmt.Fprintln(w, "x y z")
	if _, err := io.Copy(w, bzip2.NewReader(packed)); err != nil {
		t.Fatal(err)
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}

	s := mapped(t, stillCell(t, scan, "[0, 0, 0]"))
	floors, walls := 0, 0
	for _, o := range s.Objects {
		for _, f := range o.Surfaces {
			switch {
			case o.Kind == "floor" && f.Points > 1000:
				floors++
				if f.RMS > 12 || math.Abs(f.Normal[2]) < 0.99 {
					t.Errorf("floor: rms %.1f mm, normal %v", f.RMS, f.Normal)
				}
			case o.Kind == "wall" && f.Points > 1000:
				walls++
				if f.RMS > 20 || math.Abs(f.Normal[2]) > 0.1 {
					t.Errorf("%s: rms %.1f mm, normal %v", o.Name, f.RMS, f.Normal)
				}
			}
		}
	}
	if floors == 0 || walls < 2 {
		t.Errorf("%d floors and %d walls found in a hall", floors, walls)
	}
	if s.Points.Used < s.Points.Read*9/10 {
		t.Errorf("only %d of %d points of a clean scan used", s.Points.Used, s.Points.Read)
	}
}

// TestRealBuilding maps the building of Debian's libcgal-demo: 100 000 points
// with the label of the segment that they belong to. Segments that are a plane
// by their own least squares must be found, where they are.
func TestRealBuilding(t *testing.T) {
	scan := unpacked(t, realData(t, "usr/share/doc/libcgal-dev/data.tar.gz"), "data/points_3/building.ply")
	s := mapped(t, stillCell(t, scan, "[0, 0, 0]"))
	compared := 0
	for label, m := range labelled(t, scan) {
		pl, variance := m.Plane()
		rms := math.Sqrt(variance[0])
		if m.N < 1000 || rms > 30 {
			continue
		}
		compared++
		// The thickness of a segment is the most that two fits of it, over
		// different shares of its points, can differ by.
		if !s.hasPlane(pl, m.Mean, rms, int(m.N/2)) {
			t.Errorf("segment %d, normal %.2f, %.0f points, rms %.0f mm, was not found", label, pl.Normal, m.N, rms)
		}
	}
	if compared == 0 {
		t.Error("no segment of the building was compared")
	}
}

// hasPlane tells whether the scene has a plane of at least that many points
// which lies within tolerance mm of pl at the point near, and within a degree.
func (s *mappedScene) hasPlane(pl geom.Plane, near r3.Vec, tolerance float64, points int) bool {
	for _, o := range s.Objects {
		for _, f := range o.Surfaces {
			n := r3.Vec{X: f.Normal[0], Y: f.Normal[1], Z: f.Normal[2]}
			if f.Points >= points && math.Abs(r3.Dot(n, pl.Normal)) > math.Cos(math.Pi/180) &&
				math.Abs(r3.Dot(n, near)-f.Offset) < tolerance {
				return true
			}
		}
	}
	return false
}

// labelled are the moments of the segments of an ascii PLY in metres whose rows
// end with a label, in mm.
func labelled(t *testing.T, path string) map[int]*geom.Moments {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	_, body, ok := strings.Cut(string(text), "end_header")
	if !ok {
		t.Fatalf("%s has no header", path)
	}
	out := map[int]*geom.Moments{}
	for row := range strings.Lines(strings.TrimSpace(body)) {
		f := strings.Fields(row)
		if len(f) < 4 {
			t.Fatalf("row %q", row)
		}
		var v [3]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(f[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		label, err := strconv.Atoi(f[len(f)-1])
		if err != nil {
			t.Fatal(err)
		}
		if label < 0 {
			continue // belongs to no segment
		}
		if out[label] == nil {
			out[label] = &geom.Moments{}
		}
		out[label].Add(r3.Scale(1000, r3.Vec{X: v[0], Y: v[1], Z: v[2]}), 1)
	}
	return out
}

// unpacked writes one file of a .tar.gz to a folder of the test's and returns
// its path.
func unpacked(t *testing.T, archive, name string) string {
	t.Helper()
	f, err := os.Open(archive)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	unzipped, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	for r := tar.NewReader(unzipped); ; {
		h, err := r.Next()
		if err != nil {
			t.Fatalf("%s in %s: %v", name, archive, err)
		}
		if h.Name != name {
			continue
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), filepath.Base(name))
		write(t, path, text)
		return path
	}
}

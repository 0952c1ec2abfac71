package main

import (
	"bufio"
	"compress/bzip2"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"
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

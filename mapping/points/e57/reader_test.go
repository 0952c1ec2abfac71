package e57_test

import (
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/points"
	"cellwall/mapping/points/e57"
)

// twoScans is the path of a made file.
func twoScans(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "two.e57")
	if err := os.WriteFile(path, e57.TwoScans(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// readAll is every point, and how many of them each eye saw.
func readAll(t *testing.T, path string) (all []r3.Vec, eyes map[r3.Vec]int) {
	t.Helper()
	r, err := points.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if r.HasTime() || r.Total() != 6000 {
		t.Errorf("time %v, %d points promised", r.HasTime(), r.Total())
	}
	var b points.Batch
	eyes = map[r3.Vec]int{}
	for {
		err := r.Next(&b)
		if err == io.EOF {
			return all, eyes
		} else if err != nil {
			t.Fatal(err)
		}
		eyes[*b.Eye] += b.Len()
		for i := range b.X {
			all = append(all, r3.Vec{X: b.X[i], Y: b.Y[i], Z: b.Z[i]})
		}
	}
}

// Scans come through their poses, one after the other, and what has no return
// keeps its place.
func TestScansOfOneFile(t *testing.T) {
	all, eyes := readAll(t, twoScans(t))
	if len(all) != 6000 || eyes[r3.Vec{X: 10, Z: -2.5}] != 3000 || eyes[r3.Vec{}] != 3000 {
		t.Errorf("%d points, eyes %v", len(all), eyes)
	}
	for i, p := range all {
		if math.IsNaN(p.X) != (i == 5) {
			t.Errorf("point %d is %v", i, p)
		}
	}
}

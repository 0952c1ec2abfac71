package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestMapBudget: the shares of a pose add up to what is stated of it (JCGM
// 100:2008, 5.1.2), and an object that is not there is a wrong call.
func TestMapBudget(t *testing.T) {
	if testing.Short() {
		t.Skip("maps a cell three times")
	}
	cell := smallCell(t, 0.05)
	var out, errs strings.Builder
	if got := run([]string{"map", cell, "--budget", "floor", "--json"}, &out, &errs); got != statusDone {
		t.Fatalf("status %d: %s", got, errs.String())
	}
	if _, err := os.Stat(filepath.Join(cell, "map")); err == nil {
		t.Error("a map was written")
	}
	var b budgetTable
	if err := json.Unmarshal([]byte(out.String()), &b); err != nil {
		t.Fatal(err)
	}
	var sum float64
	for _, s := range b.Shares {
		sum += s.XYZ[2] * s.XYZ[2]
	}
	if z := b.Combined.XYZ[2]; !(z > 0) || math.Abs(math.Sqrt(sum)-z) > 1e-6*z || math.Abs(b.Expanded.XYZ[2]-2*z) > 1e-9 {
		t.Errorf("shares of %.4g mm, combined %.4g, expanded %.4g", math.Sqrt(sum), z, b.Expanded.XYZ[2])
	}
	if len(b.Faces) == 0 || b.Faces[0].Effective <= 0 || b.Faces[0].Effective > float64(b.Faces[0].Points)*1.5 {
		t.Errorf("faces %+v", b.Faces)
	}

	out.Reset()
	if got := run([]string{"map", cell, "--budget", "floor"}, &out, &errs); got != statusDone || !strings.Contains(out.String(), "expanded, k = 2") {
		t.Errorf("status %d:\n%s", got, out.String())
	}
	errs.Reset()
	if got := run([]string{"map", cell, "--budget", "flor"}, &out, &errs); got != statusWrong || !strings.Contains(errs.String(), `no object is called "flor"; located are`) {
		t.Errorf("status %d: %s", got, errs.String())
	}
}

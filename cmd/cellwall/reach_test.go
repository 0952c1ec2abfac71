package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/export/caution"
	"cellwall/scene/reach"
)

// reachCell is a thinned demo cell with a map of one block, 800 mm before the
// robot.
func reachCell(t *testing.T) string {
	t.Helper()
	dir := smallCell(t, 0.02)
	if err := os.Rename(filepath.Join(mappedBlock(t), "map"), filepath.Join(dir, "map")); err != nil {
		t.Fatal(err)
	}
	return dir
}

const moveHead = "name,motion,j1,j2,j3,j4,j5,j6,x,y,z,qw,qx,qy,qz\n"

func TestReachHoldsAProgram(t *testing.T) {
	cell := reachCell(t)
	program := filepath.Join(cell, "moves.csv")
	// Past the block from side to side: at j1 = 0 the arm hangs over it.
	write(t, program, []byte(moveHead+"left,joint,60,40,0,0,50,0,,,,,,,\nright,joint,-60,40,0,0,50,0,,,,,,,\nup,joint,-60,0,0,0,50,0,,,,,,,\n"))
	var out, errs strings.Builder
	if got := run([]string{"reach", cell, "--program", program, "--json"}, &out, &errs); got != statusNo {
		t.Fatalf("status %d: %s", got, errs.String())
	}
	var r reach.Report
	if err := json.Unmarshal([]byte(out.String()), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Moves) != 3 || r.Margin != 20 || len(r.Cautions) == 0 {
		t.Fatalf("%+v", r)
	}
	if past, away := r.Moves[1].Scene, r.Moves[2].Scene; past.Bound > past.Least || past.Least >= away.Least || past.Object != "block-1" {
		t.Errorf("past the block %+v, away from it %+v", past, away)
	}
	dir := filepath.Join(cell, "reach-moves")
	text, err := os.ReadFile(filepath.Join(dir, "reach.json"))
	if err != nil || string(text) != out.String() {
		t.Errorf("reach.json is not what was printed: %v", err)
	}
	page, err := os.ReadFile(filepath.Join(dir, "report.html"))
	if err != nil {
		t.Fatal(err)
	}
	for _, word := range append([]string{"Verdict", "block-1", "Nowhere under", "<svg"}, caution.Sentences...) {
		if !strings.Contains(string(page), word) {
			t.Errorf("the page lacks %q", word)
		}
	}
	for _, name := range []string{"plan.svg", "front.svg", "side.svg", "drawings.pdf"} {
		if _, err := os.Stat(filepath.Join(dir, "drawings", name)); err != nil {
			t.Error(err)
		}
	}

	out.Reset()
	run([]string{"reach", cell, "--program", program, "--gaps", "iso-13854-2017"}, &out, &errs)
	for _, word := range []string{"block-1", "ISO 13854:2017", "head", "not a safety function", "a qualified person decide"} {
		if !strings.Contains(out.String(), word) {
			t.Errorf("the table lacks %q:\n%s", word, out.String())
		}
	}
	if strings.Contains(strings.ReplaceAll(out.String(), "safety function", ""), "safe") {
		t.Errorf("it says safe:\n%s", out.String())
	}
}

// The block stands 1750 mm before the base, so the arm reaches it, but not with
// joint 1 turned to the back and the elbow over the base.
func TestWholeReach(t *testing.T) {
	if testing.Short() {
		t.Skip("goes through the whole reach several times")
	}
	cell := reachCell(t)
	replace(t, filepath.Join(cell, "map", sceneFile), "\"centre_mm\": [800, 0, 0]", "\"centre_mm\": [1900, 0, 600]")
	whole := func(more ...string) *reach.WholeEntry {
		t.Helper()
		var out, errs strings.Builder
		if got := run(append([]string{"reach", cell, "--json"}, more...), &out, &errs); got != statusDone {
			t.Fatalf("status %d: %s", got, errs.String())
		}
		var r reach.Report
		if err := json.Unmarshal([]byte(out.String()), &r); err != nil {
			t.Fatal(err)
		}
		return r.Whole
	}
	w := whole("--keep-off", "block-1")
	if !w.Objects[0].Within || len(w.Objects[0].Links) == 0 || len(w.KeepOff.Limits) == 0 {
		t.Errorf("%+v", w)
	}
	for _, k := range w.KeepOff.Limits {
		l := fmt.Sprintf("j%d=%g:%g", k.Joint, k.Range[0], k.Range[1])
		if kept := whole("--restrict", l).Objects[0]; kept.Within || kept.Bound == nil || *kept.Bound < 20-1e-3 {
			t.Errorf("%s: %+v", l, kept)
		}
	}
	for _, name := range []string{"maximum-space.stl", "restricted-space.stl"} { // of the last restricted run
		if _, err := os.Stat(filepath.Join(cell, "reach", name)); err != nil {
			t.Error(err)
		}
	}
	if w.Space.Restricted != nil || w.Space.Maximum.Out < 1500 || w.Space.Maximum.Out > 2500 {
		t.Errorf("%+v", w.Space)
	}
	var out, errs strings.Builder
	run([]string{"reach", cell}, &out, &errs)
	text, err := os.ReadFile(filepath.Join(cell, "cell.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(cell, "cell.yaml"), append(text, "restricted: [{joint: 2, min_deg: -40, max_deg: 30}]\n"...))
	if got := whole().Limits[1]; got != [2]float64{-40, 30} {
		t.Errorf("joint 2 within %v, restricted to -40 to 30", got)
	}
	if !strings.Contains(out.String(), "block-1") || !strings.Contains(out.String(), "a qualified person decide") {
		t.Errorf("%s", out.String())
	}
	for _, more := range [][]string{{"--restrict", "1=0:10"}, {"--restrict", "j1=10:0"}, {"--restrict", "j9=0:1"}, {"--restrict", "j1=0:1:2"}, {"--keep-off", "moon"}, {"--keep-off", "block-1", "-p", "moves.csv"}} {
		if got := run(append([]string{"reach", cell}, more...), &out, &errs); got != statusWrong {
			t.Errorf("%v: status %d", more, got)
		}
	}
}

func TestReachRefusesWrongInput(t *testing.T) {
	cell := reachCell(t)
	program := filepath.Join(cell, "moves.csv")
	const start = "a,joint,0,0,0,0,50,0,,,,,,,\n"
	for name, c := range map[string]struct {
		text, says string
		more       []string
	}{
		"unknown motion":   {moveHead + "a,arc,0,0,0,0,50,0,,,,,,,\n", "moves.csv:2: motion", nil},
		"unreachable pose": {moveHead + start + "far,line,,,,,,,9000,0,0,1,0,0,0\n", "moves.csv:3: far", nil},
		"no rows":          {moveHead, "no rows", nil},
		"margin":           {moveHead + start, "--margin", []string{"--margin", "-1"}},
		"a folder":         {"", "is a folder", []string{"-p", cell}},
		"the cell itself":  {moveHead + start, "would replace", []string{"-o", cell}},
		"the map's folder": {moveHead + start, "would replace", []string{"-o", filepath.Join(cell, "map")}},
		"a wrong map":      {moveHead + start, "no map in it", []string{"--map", filepath.Join(cell, "scans")}},
		"not our folder":   {moveHead + start, "did not write", []string{"-o", filepath.Join(cell, "scans")}},
		"no map":           {moveHead + start, "no map in it", []string{"--map", "nowhere"}},
	} {
		write(t, program, []byte(c.text))
		var out, errs strings.Builder
		if got := run(append([]string{"reach", cell, "-p", program}, c.more...), &out, &errs); got != statusWrong || !strings.Contains(errs.String(), c.says) {
			t.Errorf("%s: status %d, %q, want %q", name, got, errs.String(), c.says)
		}
	}
	replace(t, filepath.Join(cell, "robot.yaml"), "radius_mm: 125", "radius_mm: -125")
	var out, errs strings.Builder
	if got := run([]string{"reach", cell, "-p", program}, &out, &errs); got != statusWrong || !strings.Contains(errs.String(), "radius") {
		t.Errorf("a negative radius: status %d, %q", got, errs.String())
	}
	if left, _ := filepath.Glob(filepath.Join(cell, "reach*")); left != nil {
		t.Errorf("wrong input left %v", left)
	}
}

// 0.32 s and 14 mm give 512 mm by ISO 13855:2010 (worked value, secondary source).
func TestSeparationShowsItsWorking(t *testing.T) {
	var out, errs strings.Builder
	if got := run([]string{"reach", "separation", "--edition", "2010", "--stopping-s", "0.32", "--resolution-mm", "14"}, &out, &errs); got != statusDone {
		t.Fatalf("status %d: %s", got, errs.String())
	}
	for _, word := range []string{"ISO 13855:2010", "T = 0.32 s", "S = 512 mm", "a qualified person decide"} {
		if !strings.Contains(out.String(), word) {
			t.Errorf("the working lacks %q:\n%s", word, out.String())
		}
	}
	if got := run([]string{"reach", "separation", "--stopping-s", "0.32"}, &out, &errs); got != statusWrong {
		t.Errorf("without an edition: status %d", got)
	}
}

package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

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
	text, err := os.ReadFile(filepath.Join(cell, "reach.json"))
	if err != nil || string(text) != out.String() {
		t.Errorf("reach.json is not what was printed: %v", err)
	}

	out.Reset()
	run([]string{"reach", cell, "--program", program}, &out, &errs)
	for _, word := range []string{"block-1", "not a safety function", "a qualified person decide"} {
		if !strings.Contains(out.String(), word) {
			t.Errorf("the table lacks %q:\n%s", word, out.String())
		}
	}
	if strings.Contains(strings.ReplaceAll(out.String(), "safety function", ""), "safe") {
		t.Errorf("it says safe:\n%s", out.String())
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
		"no map":           {moveHead + start, "cellwall map", []string{"--map", "nowhere"}},
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
	if _, err := os.Stat(filepath.Join(cell, "reach.json")); err == nil {
		t.Error("wrong input left a reach.json")
	}
}

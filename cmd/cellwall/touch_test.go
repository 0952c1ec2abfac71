package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// touchOff writes touches of the map's floor and front where it says they are, and
// some mm in front of that.
func touchOff(t *testing.T, dir string, front float64) string {
	t.Helper()
	s, err := scene.Open(filepath.Join(dir, "map", sceneFile))
	if err != nil {
		t.Fatal(err)
	}
	text := "name,x,y,z,radius,object,surface\n"
	for _, o := range s.Objects {
		for _, f := range o.Faces {
			if f.Name != "floor" && (o.Name != "mill" || f.Name != "front") {
				continue
			}
			at := f.Plane.Frame(f.Centre)
			for i, c := range [3]r3.Vec{{X: -90, Y: -90}, {X: 90, Y: -90}, {Y: 90}} {
				c.Z = 3 + front
				p := at.Apply(c)
				text += fmt.Sprintf("%s-%d,%.4f,%.4f,%.4f,3,%s,%s\n", f.Name, i, p.X, p.Y, p.Z, o.Name, f.Name)
			}
		}
	}
	path := filepath.Join(t.TempDir(), "touches.csv")
	write(t, path, []byte(text))
	return path
}

func TestTouch(t *testing.T) {
	dir := smallCell(t, 0.05)
	if got := run([]string{"map", dir, "--quiet"}, &bytes.Buffer{}, os.Stderr); got != statusDone {
		t.Fatalf("map ends with %d", got)
	}
	right, wrong := touchOff(t, dir, 0), touchOff(t, dir, 6)
	for _, c := range []struct {
		args []string
		want int
		says string
	}{
		{[]string{dir, "--points", right, "--sigma", "0.2"}, statusDone, "map and touches agree"},
		{[]string{dir, "--points", right, "--sigma", "0.2", "--json"}, statusDone, `"format": "cellwall.touch/1"`},
		{[]string{dir, "--points", wrong, "--sigma", "0.2"}, statusNo, "do not agree"},
		{[]string{dir, "--points", right, "--sigma", "0.2", "--frame", "floor-0,floor-1,floor-2"}, statusDone, "baseFromFrame"},
		{[]string{dir, "--points", right}, statusWrong, "--sigma"},
		{[]string{dir, "--points", right, "--sigma", "0.2", "--solve"}, statusWrong, "do not determine a slide along"},
		{[]string{dir, "--points", right, "--sigma", "0.2", "--frame", "floor-0,floor-1"}, statusWrong, "three touches"},
		{[]string{dir}, statusWrong, "--points is missing"},
		{[]string{filepath.Join(dir, "scans"), "--points", right, "--sigma", "0.2"}, statusWrong, "does not exist"},
	} {
		var out, errs bytes.Buffer
		if got := run(append([]string{"touch"}, c.args...), &out, &errs); got != c.want {
			t.Errorf("%v ends with %d: %s", c.args, got, errs.String())
		}
		if !strings.Contains(out.String()+errs.String(), c.says) {
			t.Errorf("%v: %q is missing in %s%s", c.args, c.says, out.String(), errs.String())
		}
	}
}

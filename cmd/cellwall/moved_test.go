package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// pushed writes and maps the demo cell, then writes a rescan of it with the mill
// pushed about. It returns the old map, the cell of the rescan and the true move.
func pushed(t *testing.T) (old, dir string, truth geom.Pose) {
	t.Helper()
	s := fixtures.Demo(1)
	s.Density = 0.1
	first := filepath.Join(t.TempDir(), "first")
	before, err := s.Write(first)
	if err != nil {
		t.Fatal(err)
	}
	if got := run([]string{"map", first, "--quiet"}, &bytes.Buffer{}, os.Stderr); got != statusDone {
		t.Fatalf("map ends with %d", got)
	}
	s.Seed, s.Skip = 2, []string{"swing-up", "swing-low", "pass-moving", "pass-across"}
	s.Mill.X, s.Mill.Y, s.Mill.Yaw = s.Mill.X+14, s.Mill.Y-22, s.Mill.Yaw+0.02
	dir = filepath.Join(t.TempDir(), "again")
	after, err := s.Write(dir)
	if err != nil {
		t.Fatal(err)
	}
	a, _ := before.Truth.Object("mill")
	b, _ := after.Truth.Object("mill")
	return filepath.Join(first, "map"), dir, b.Body.Mul(a.Body.Inverse())
}

// movedResult is what the test reads of `moved --json`.
type movedResult struct {
	Objects []struct {
		Name  string
		Moved bool
		Open  []string `json:"undetermined"`
		Base  struct {
			XYZ        [3]float64 `json:"xyz_mm"`
			Quaternion [4]float64 `json:"quaternion_wxyz"`
		} `json:"base_new_from_base_old"`
	}
}

func TestMovedTellsTheMillsMove(t *testing.T) {
	if testing.Short() {
		t.Skip("casts and maps two cells")
	}
	old, dir, truth := pushed(t)
	var out, errs bytes.Buffer
	if got := run([]string{"moved", dir, "--since", old, "--json", "--quiet"}, &out, &errs); got != statusDone {
		t.Fatalf("moved ends with %d: %s", got, errs.String())
	}
	var told movedResult
	if err := json.Unmarshal(out.Bytes(), &told); err != nil {
		t.Fatal(err)
	}
	seen := false
	for _, o := range told.Objects {
		if o.Name != "mill" {
			if (o.Name == "bench" || strings.HasPrefix(o.Name, "wall")) && o.Moved {
				t.Errorf("%s stood still and is said to have moved", o.Name)
			}
			continue
		}
		seen = true
		q := o.Base.Quaternion
		r, err := geom.RotFromQuat(q[0], q[1], q[2], q[3])
		if err != nil || !o.Moved || len(o.Open) > 0 {
			t.Fatalf("mill: %+v, %v", o, err)
		}
		got := geom.Pose{R: r, T: r3.Vec{X: o.Base.XYZ[0], Y: o.Base.XYZ[1], Z: o.Base.XYZ[2]}}
		// The bar is 0.4 mm and 0.03 degrees rms at full density; three times that
		// for one cell, thinned.
		foot := r3.Vec{X: 830, Y: -60, Z: -560}
		if off := r3.Norm(r3.Sub(got.Apply(foot), truth.Apply(foot))); off > 1.2 {
			t.Errorf("the mill's foot is told %.2f mm off", off)
		}
		if turn := r3.Norm(got.R.Mul(truth.R.T()).Log()) * 180 / math.Pi; turn > .09 {
			t.Errorf("the mill's turn is told %.3f degrees off", turn)
		}
	}
	if !seen {
		t.Error("nothing was told of the mill")
	}
	out.Reset()
	if got := run([]string{"moved", dir, "--since", filepath.Join(old, "scene.json"), "--object", "mill"}, &out, &errs); got != statusDone {
		t.Fatalf("moved ends with %d: %s", got, errs.String())
	}
	for _, want := range []string{"mill (enclosure): moved", "baseNewFromBaseOld", "rests on"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in\n%s", want, out.String())
		}
	}
	carriesPoints(t, old, dir, truth)
	both := filepath.Join(t.TempDir(), "both.json")
	if got := run([]string{"moved", dir, "--since", old, "--scene", both, "--sheet", both + ".html", "--by", "J. Doe"}, &out, &errs); got != statusDone {
		t.Errorf("moved ends with %d: %s", got, errs.String())
	}
	if page, err := os.ReadFile(both + ".html"); err != nil || !bytes.Contains(page, []byte("J. Doe")) {
		t.Errorf("the sheet does not say who made it: %v", err)
	}
	if s, err := scene.Open(both); err != nil || !slices.ContainsFunc(s.Objects, func(o scene.Object) bool { return o.Name == "mill" && o.Origin == scene.OldMoved }) {
		t.Errorf("the scene of both maps has no mill that was taken along: %v", err)
	}
	for _, c := range []struct {
		args []string
		says []string
	}{
		{[]string{dir, "--since", old, "--to", "x.csv"}, []string{"--to is given without --points"}},
		{[]string{dir, "--since", old, "--points", "absent.csv", "--to", "x.csv"}, []string{"absent.csv", "does not exist"}},
		{[]string{dir}, []string{"--since is missing", "map folder"}},
		{[]string{dir, "--since", filepath.Join(old, "absent")}, []string{"absent", "does not exist"}},
		{[]string{dir, "--since", elsewhere(t, old)}, []string{`"lathe cell"`, "another cell"}},
		{[]string{dir, "--since", old, "--known", "0"}, []string{"--known is 0"}},
		{[]string{dir, "--since", old, "--level", "2"}, []string{"--level is 2", "0.99"}},
		{[]string{dir, "--since", old, "--object", "lathe"}, []string{`no object "lathe"`, "mill"}},
	} {
		errs.Reset()
		if got := run(append([]string{"moved"}, c.args...), &out, &errs); got != statusWrong {
			t.Errorf("%v ends with %d", c.args, got)
		}
		for _, want := range c.says {
			if !strings.Contains(errs.String(), want) {
				t.Errorf("%v: %q is missing in %s", c.args, want, errs.String())
			}
		}
	}
}

// elsewhere is the map as another cell's may be: of another name, and without a floor or
// wall that would tell that it is the same place.
func elsewhere(t *testing.T, old string) string {
	t.Helper()
	s, err := scene.Open(filepath.Join(old, "scene.json"))
	if err != nil {
		t.Fatal(err)
	}
	s.Cell = "lathe cell"
	s.Objects = slices.DeleteFunc(s.Objects, func(o scene.Object) bool { return o.Kind != fit.Enclosure })
	var b bytes.Buffer
	if err := s.WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "other.json")
	write(t, path, b.Bytes())
	return path
}

// carriesPoints has a point of the mill and one of nothing known taken along.
func carriesPoints(t *testing.T, old, dir string, truth geom.Pose) {
	t.Helper()
	from, to := filepath.Join(t.TempDir(), "taught.csv"), filepath.Join(t.TempDir(), "corrected.csv")
	write(t, from, []byte("name,object,x,y,z,roll,pitch,yaw\npick,mill,1250,10,400,180,0,90\nlost,lathe,0,0,0,0,0,0\n"))
	var out, errs bytes.Buffer
	if got := run([]string{"moved", dir, "--since", old, "--points", from, "--to", to}, &out, &errs); got != statusNo {
		t.Errorf("moved ends with %d, though one point has no object: %s", got, errs.String())
	}
	if !strings.Contains(errs.String(), "lost was not corrected") {
		t.Errorf("nothing is said of the lost point: %s", errs.String())
	}
	text, err := os.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	row := strings.Split(strings.Split(string(text), "\n")[1], ",")
	want := truth.Apply(r3.Vec{X: 1250, Y: 10, Z: 400})
	for i, v := range [3]float64{want.X, want.Y, want.Z} {
		if got, err := strconv.ParseFloat(row[2+i], 64); err != nil || math.Abs(got-v) > 1.2 {
			t.Errorf("coordinate %d of the corrected point is %s, want %.2f", i, row[2+i], v)
		}
	}
}

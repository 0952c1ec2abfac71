package scene

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/cell"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"
	"cellwall/mapping/register"
	"cellwall/scene/schema"

	"gonum.org/v1/gonum/spatial/r3"
)

func folder(t *testing.T) *cell.Cell {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{"cell.yaml": "abc", "scans/a.ply": ""} {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return &cell.Cell{Dir: dir, Name: "invented", Files: []string{"cell.yaml", "scans/a.ply"}, Scene: cell.Scene{Margin: 20, Behind: 50, UnseenVoxel: 40}}
}

// The hashes are the examples of FIPS 180-4 for "abc" and of NIST's for the
// empty message (from memory).
func TestRecordHashesEveryInput(t *testing.T) {
	r, err := NewRecord(folder(t), &Scene{Points: mapping.Counts{Read: 3, Used: 3}})
	if err != nil {
		t.Fatal(err)
	}
	want := []Input{
		{"cell.yaml", 3, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
		{"scans/a.ply", 0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
	}
	for i, w := range want {
		if r.Inputs[i] != w {
			t.Errorf("got %v, want %v", r.Inputs[i], w)
		}
	}
	r.Times["fit"] = 0.12345678
	var b bytes.Buffer
	if err := r.WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	if err := validate(t, schema.Record, b.Bytes()); err != nil {
		t.Errorf("%v\n%s", err, b.Bytes())
	}
	if !strings.Contains(b.String(), `"times_s": {"fit": 0.123}`) {
		t.Errorf("%s", b.String())
	}
}

// A sheet bears the number of the map that it shows: any change of what that
// rests on must change it.
func TestNumberFollowsTheEvidence(t *testing.T) {
	c := folder(t)
	seen := map[string]string{}
	for _, change := range []func(){
		func() {},
		func() { c.Scene.Margin = 30 },
		func() { c.Files = c.Files[:1] },
		func() {
			if err := os.WriteFile(filepath.Join(c.Dir, "cell.yaml"), []byte("abd"), 0o600); err != nil {
				t.Fatal(err)
			}
		},
	} {
		change()
		var numbers [2]string
		for i := range numbers {
			r, err := NewRecord(c, &Scene{})
			if err != nil {
				t.Fatal(err)
			}
			numbers[i] = r.Number
		}
		if numbers[0] != numbers[1] || seen[numbers[0]] != "" {
			t.Errorf("numbers %v, after %v", numbers, seen)
		}
		seen[numbers[0]] = "taken"
	}
}

func TestRecordSaysHowScansWerePlaced(t *testing.T) {
	p := mapping.Placed{Scan: "tripod", BaseFromScan: geom.Pose{R: geom.RotFromRPY(0, 0, math.Pi/2), T: r3.Vec{X: 1, Y: 2, Z: 3}}}
	p.Shift, p.Turn = r3.Vec{X: 120, Y: -3}, r3.Vec{Z: math.Pi / 60}
	for i := range p.Cov {
		p.Cov[i][i] = 0.01
	}
	p.Fit.Surfaces, p.Next = 7, &register.NextBest{For: 80, Against: 2}
	r, err := NewRecord(folder(t), &Scene{Placed: []mapping.Placed{p}})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := r.WriteJSON(&b); err != nil {
		t.Fatal(err)
	}
	if err := validate(t, schema.Record, b.Bytes()); err != nil {
		t.Errorf("%v\n%s", err, b.Bytes())
	}
	for _, want := range []string{`"rpy_deg": [0, 0, 90]`, `"shift_mm": [120, -3, 0]`, `"turn_deg": [0, 0, 3]`, `"significant": true`, `"for": 80`} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%s is not in\n%s", want, b.String())
		}
	}
}

func TestOnlyTimesDifferBetweenRuns(t *testing.T) {
	c := folder(t)
	var out [2]bytes.Buffer
	for i := range out {
		r, err := NewRecord(c, &Scene{})
		if err != nil {
			t.Fatal(err)
		}
		r.Times["merge"] = float64(i)
		if err := r.WriteJSON(&out[i]); err != nil {
			t.Fatal(err)
		}
	}
	a, b := out[0].String(), out[1].String()
	if a == b || strings.Replace(a, `{"merge": 0}`, "", 1) != strings.Replace(b, `{"merge": 1}`, "", 1) {
		t.Errorf("records differ beyond their times:\n%s\n%s", a, b)
	}
}

func TestRecordNamesAMissingInput(t *testing.T) {
	c := folder(t)
	c.Files = append(c.Files, "scans/gone.ply")
	_, err := NewRecord(c, &Scene{})
	var f *fault.Error
	if !errors.As(err, &f) || f.File != "scans/gone.ply" {
		t.Errorf("got %v", err)
	}
}

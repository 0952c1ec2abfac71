package scene

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"cellwall/mapping/fault"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestReadGivesTheSameSceneBack(t *testing.T) {
	want := sample(t)
	got, err := Read(bytes.NewReader(written(t, want)))
	if err != nil {
		t.Fatal(err)
	}
	sameSolids(t, got, want)
	for i := range want.Objects {
		got.Objects[i].Solids, want.Objects[i].Solids = nil, nil
	}
	// What is left is plain numbers and names; the file rounds outlines to a
	// hundredth, areas to a whole square millimetre.
	if d := difference(reflect.ValueOf(got), reflect.ValueOf(want), 0.51); d != "" {
		t.Error(d)
	}
}

// sameSolids compares grown meshes, which rest on all that a solid keeps.
func sameSolids(t *testing.T, got, want *Scene) {
	t.Helper()
	for i, o := range want.Objects {
		for j, s := range o.Solids {
			a, b := got.Objects[i].Solids[j].Mesh(20), s.Mesh(20)
			if len(a.Vertices) != len(b.Vertices) || !reflect.DeepEqual(a.Faces, b.Faces) {
				t.Fatalf("%s: solid %d has another mesh", o.Name, j)
			}
			for k := range a.Vertices {
				if d := r3.Norm(r3.Sub(a.Vertices[k], b.Vertices[k])); d > 2e-3 {
					t.Errorf("%s: a corner of solid %d is %g mm off", o.Name, j, d)
				}
			}
		}
	}
}

// difference of two values, numbers to within slack, "" where there is none.
func difference(a, b reflect.Value, slack float64) string {
	if a.Kind() != b.Kind() {
		return "kinds differ"
	}
	switch a.Kind() {
	case reflect.Pointer, reflect.Interface:
		if a.IsNil() != b.IsNil() {
			return "one is missing"
		}
		if a.IsNil() {
			return ""
		}
		return difference(a.Elem(), b.Elem(), slack)
	case reflect.Struct:
		for i := range a.NumField() {
			if d := difference(a.Field(i), b.Field(i), slack); d != "" {
				return a.Type().Field(i).Name + ": " + d
			}
		}
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return "lengths differ"
		}
		for i := range a.Len() {
			if d := difference(a.Index(i), b.Index(i), slack); d != "" {
				return d
			}
		}
	case reflect.Map:
		for _, k := range b.MapKeys() {
			if !a.MapIndex(k).IsValid() {
				return "a key is missing"
			}
			if d := difference(a.MapIndex(k), b.MapIndex(k), slack); d != "" {
				return d
			}
		}
	case reflect.Float64:
		if v := math.Abs(a.Float() - b.Float()); v > min(slack, 1e-4*(1+100*math.Abs(b.Float()))) {
			return "numbers differ"
		}
	default:
		if !a.Equal(b) {
			return "values differ"
		}
	}
	return ""
}

func TestReadRefuses(t *testing.T) {
	good := string(written(t, sample(t)))
	for _, c := range []struct{ old, new, says string }{
		{`"format": "cellwall.scene/1"`, `"format": "cellwall.scene/2"`, "map the cell again with this version"},
		{`"format": "cellwall.scene/1"`, `"format": "something/1"`, "no scene"},
		{`"format": "cellwall.scene/1",`, ``, "no scene"},
		{`"frame": "base"`, `"frame": "flange"`, "only base, mm and deg"},
		{`"length": "mm"`, `"length": "m"`, "only base, mm and deg"},
		{`"located"`, `"locatd"`, "locatd"},
		{`"kind": "vise"`, `"kind": "teapot"`, "teapot"},
		{`"shape": "box"`, `"shape": "ball"`, `objects[2] "vise": solids[0]`},
		{`"size_mm": [150`, `"size_mm": [0`, "more than 0"},
		{`"size_mm": [150, `, `"size_mm": [`, "2 numbers, not 3"},
		{`"size_mm": [150, `, `"size_mm": [150, 1, `, "4 numbers, not 3"},
		{`"size_mm": [150`, `"size_mm": [1e200`, "in no cell"},
		{`"margin_mm": 20`, `"margin_mm": -20`, "negative"},
		{`"margin_mm": 20`, `"margin_mm": 20, "from_map": "mine"`, "from_map"},
		{`"radius_mm": 101`, `"radius_mm": -101`, "more than 0"},
		{`"sweep": [[`, `"sweep": [[1], [`, "budget: the covariance is not 3 by 3"},
		{`"edge": 10`, `"edgy": 10`, "edgy"},
		{`"scans": ["swing", "tripod"]`, `"scans": ["swing", "other"]`, "other"},
		{`"shape": "plane"`, `"shape": "cylinder"`, "does not fit"},
		{`"y_mm": [-400, `, `"y_mm": [`, "least and a greatest"},
		{`"height_mm": 45.6789`, `"height_mm": 0`, "height"},
		{`"points": {`, `"points": {{`, "invalid character"},
		{"\n}\n", "\n}\n{}", "after top-level"},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		if bad == good {
			t.Fatalf("%q is not in the file", c.old)
		}
		_, err := Read(strings.NewReader(bad))
		var f *fault.Error
		if !errors.As(err, &f) || !strings.Contains(err.Error(), c.says) || f.Remedy == "" {
			t.Errorf("%s: got %v, want %q and a remedy", c.new, err, c.says)
		}
	}
	for _, cut := range []int{0, 1, 100, len(good) / 2, len(good) - 3} {
		var f *fault.Error
		if _, err := Read(strings.NewReader(good[:cut])); !errors.As(err, &f) {
			t.Errorf("cut after %d bytes: %v", cut, err)
		}
	}
}

func TestReadNamesTheLine(t *testing.T) {
	good := string(written(t, sample(t)))
	bad := strings.Replace(good, `"cell": "`, `"cell": 7, "": "`, 1)
	_, err := Read(strings.NewReader(bad))
	var f *fault.Error
	if !errors.As(err, &f) || f.Line != 3 || !strings.Contains(err.Error(), "cell") {
		t.Errorf("got %v, want line 3 and the member", err)
	}
}

func TestOpenNamesTheFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "old.json")
	if _, err := Open(path); err == nil || !strings.Contains(err.Error(), "old.json") {
		t.Errorf("an absent file: %v", err)
	}
	if err := os.WriteFile(path, []byte(`{"format": "cellwall.scene/9"}`), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(path); err == nil || !strings.Contains(err.Error(), "old.json") {
		t.Errorf("a later version: %v", err)
	}
	if err := os.WriteFile(path, written(t, sample(t)), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(path); err != nil {
		t.Error(err)
	}
}

// Whatever is read, no panic, and what is taken can be written again.
func FuzzRead(f *testing.F) {
	f.Add([]byte(`{"format": "cellwall.scene/1", "frame": "base", "units": {"length": "mm", "angle": "deg"}, "objects": [{"name": "a", "kind": "block",
		"pose": {"xyz_mm": [0,0,0], "quaternion_wxyz": [1,0,0,0], "covariance": [[0],[0]]}, "solids": [{"shape": "hull", "vertices_mm": [[0,0,0],[1,0,0],[0,1,0],[0,0,1]]}]}]}`))
	f.Add([]byte(`{"format": "cellwall.scene/1"}`))
	f.Add([]byte(`[`))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Read(bytes.NewReader(data))
		if err != nil {
			return
		}
		if err := s.WriteJSON(&bytes.Buffer{}); err != nil {
			t.Errorf("a scene that was read cannot be written: %v", err)
		}
	})
}

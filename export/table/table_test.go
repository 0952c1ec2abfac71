package table

import (
	"encoding/csv"
	"strings"
	"testing"

	"cellwall/export/extent"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestWrite(t *testing.T) {
	at := geom.Pose{R: geom.RotFromRPY(0, 0, 0.5), T: r3.Vec{X: 1200.1234, Y: -300, Z: -0.0001}}
	box := solid.Box{Box: geom.Box{Pose: at, Size: r3.Vec{X: 300, Y: 200, Z: 100}}}
	s := &scene.Scene{
		Objects: []scene.Object{
			{Object: fit.Object{Name: "bench, \"long\"", Kind: fit.Table, Pose: at}, Margin: 20, Solids: []solid.Solid{box}},
			{Object: fit.Object{Name: "remainder", Kind: scene.Remainder}},
		},
		NotLocated: []fit.Refusal{{Name: "vise", Kind: fit.Vise, Reason: "two lines\nof reason"}},
	}
	s.Objects[0].Cov[1][1] = 0.25
	var b strings.Builder
	if err := Write(&b, s, extent.Fitted); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 4 {
		t.Fatalf("%d rows, want a heading and three", len(rows))
	}
	for i, want := range []map[string]string{
		{
			"name": "bench, \"long\"", "located": "true", "x_mm": "1200.123", "y_mm": "-300", "z_mm": "0", "yaw_deg": "28.64789",
			"sigma_y_mm": "0.5", "size_x_mm": "300", "size_y_mm": "200", "size_z_mm": "100", "size": "fitted", "margin_mm": "20", "solids": "1",
		},
		{"name": "remainder", "located": "false", "x_mm": "", "qw": "", "sigma_x_mm": "", "size_x_mm": "", "solids": "0"},
		{"name": "vise", "kind": "vise", "located": "false", "x_mm": "", "why_not_located": "two lines\nof reason"},
	} {
		got := map[string]string{}
		for k, column := range rows[0] {
			got[column] = rows[i+1][k]
		}
		for column, w := range want {
			if got[column] != w {
				t.Errorf("row %d: %s is %q, want %q", i+1, column, got[column], w)
			}
		}
	}
}

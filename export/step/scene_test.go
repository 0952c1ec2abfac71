package step

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"cellwall/export/extent"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// Every instance that is named exists, and all but the roots are named: the file
// hangs together as one assembly of named parts.
func TestWriteHangsTogether(t *testing.T) {
	at := geom.Pose{R: geom.RotFromRPY(0, 0, 0.5), T: r3.Vec{X: 1200, Y: -300, Z: 400}}
	s := &scene.Scene{Cell: "cell", Objects: []scene.Object{
		{Object: fit.Object{Name: "bench", Kind: fit.Table, Pose: at}, Margin: 10, Solids: []solid.Solid{
			solid.Box{Box: geom.Box{Pose: at, Size: r3.Vec{X: 300, Y: 200, Z: 100}}},
			solid.Cylinder{Centre: at.T, Axis: r3.Vec{Z: 1}, Radius: 40, Height: 600},
		}},
		{Object: fit.Object{Name: "seen only", Kind: fit.Wall, Pose: at}},
	}}
	var b strings.Builder
	if err := Write(&b, s, extent.Fitted); err != nil {
		t.Fatal(err)
	}
	made, named := map[string]bool{}, map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^(#\d+)=(.*);$`).FindAllStringSubmatch(b.String(), -1) {
		made[m[1]] = true
		for _, r := range regexp.MustCompile(`#\d+`).FindAllString(m[2], -1) {
			named[r] = true
		}
	}
	for r := range named {
		if !made[r] {
			t.Errorf("%s is named and not there", r)
		}
	}
	for text, want := range map[string]int{
		"=PRODUCT(": 2, "=NEXT_ASSEMBLY_USAGE_OCCURRENCE(": 1, "=MANIFOLD_SOLID_BREP('bench-1',": 1,
		"=CYLINDRICAL_SURFACE(": 1, "LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.)": 1, "without margin": 1, "seen only": 0,
	} {
		if got := strings.Count(b.String(), text); got != want {
			t.Errorf("%q stands %d times, want %d", text, got, want)
		}
	}
	if want := fmt.Sprintf("'bench','bench','%s, margin 0 mm'", fit.Table); !strings.Contains(b.String(), want) {
		t.Errorf("%q is missing", want)
	}
}

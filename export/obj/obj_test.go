package obj

import (
	"strings"
	"testing"

	"cellwall/export/extent"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestWriteCountsVerticesThroughTheFile(t *testing.T) {
	box := func(x float64) []solid.Solid {
		return []solid.Solid{solid.Box{Box: geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: x}}, Size: r3.Vec{X: 2, Y: 2, Z: 2}}}}
	}
	s := &scene.Scene{Cell: "a\ncell", Objects: []scene.Object{
		{Object: fit.Object{Name: "left one", Kind: fit.Block}, Solids: box(-10)},
		{Object: fit.Object{Name: "empty", Kind: fit.Wall}},
		{Object: fit.Object{Name: "right", Kind: fit.Block}, Solids: box(10)},
	}}
	var b strings.Builder
	if err := Write(&b, s, extent.Fitted); err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	for line := range strings.Lines(b.String()) {
		word, _, _ := strings.Cut(strings.TrimSpace(line), " ")
		seen[word]++
	}
	if seen["v"] != 16 || seen["f"] != 24 || seen["g"] != 2 {
		t.Errorf("%v, want two boxes of 8 vertices and 12 facets in two groups", seen)
	}
	for _, want := range []string{"\ng left-one\nv -11 -1 -1\n", "units: mm", "f 9 "} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is missing in\n%s", want, b.String())
		}
	}
	for word := range seen {
		if !strings.Contains(" v f g # ", " "+word+" ") && word != "" {
			t.Errorf("a line starts with %q: a comment was broken", word)
		}
	}
}

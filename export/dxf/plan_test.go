package dxf

import (
	"bufio"
	"strconv"
	"strings"
	"testing"

	"cellwall/export/extent"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

type group struct {
	code  int
	value string
}

// groups reads a DXF file as its groups: a code on a line, its value on the next.
func groups(t *testing.T, text string) []group {
	t.Helper()
	var out []group
	for in := bufio.NewScanner(strings.NewReader(text)); in.Scan(); {
		code, err := strconv.Atoi(strings.TrimSpace(in.Text()))
		if err != nil || !in.Scan() {
			t.Fatalf("after %d groups: %v", len(out), err)
		}
		out = append(out, group{code, in.Text()})
	}
	return out
}

func TestWrite(t *testing.T) {
	at := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1000, Y: -500, Z: 250}}
	s := &scene.Scene{
		Cell: "cell", NotLocated: []fit.Refusal{{Name: "vise", Kind: fit.Vise, Reason: "never\nseen"}},
		Objects: []scene.Object{{
			Object: fit.Object{Name: "Bänk 1", Kind: fit.Table, Pose: at}, Margin: 20,
			Solids: []solid.Solid{
				solid.Box{Box: geom.Box{Pose: at, Size: r3.Vec{X: 300, Y: 200, Z: 500}}},
				solid.Cylinder{Centre: at.T, Axis: r3.Vec{Z: -1}, Radius: 40, Height: 600},
			},
		}},
	}
	var b strings.Builder
	if err := Write(&b, s, extent.Fitted); err != nil {
		t.Fatal(err)
	}
	seen, handles := map[string]int{}, map[string]bool{}
	last := ""
	for _, g := range groups(t, b.String()) {
		if g.code == 0 {
			seen[g.value]++
		}
		if g.code == 5 && last != "$HANDSEED" {
			if handles[g.value] {
				t.Errorf("handle %s is given twice", g.value)
			}
			handles[g.value] = true
		}
		last = g.value
	}
	// The outline of a box, a round bar from above, a datum's three axes; the name,
	// and below the plan its title, what is not located, and seven lines of caution.
	for kind, want := range map[string]int{"LWPOLYLINE": 1, "CIRCLE": 1, "LINE": 3, "TEXT": 10, "LAYER": 3} {
		if seen[kind] != want {
			t.Errorf("%d of %s, want %d", seen[kind], kind, want)
		}
	}
	for _, want := range []string{
		"$INSUNITS\n 70\n4\n", " 90\n4\n 70\n1\n 10\n850\n 20\n-600\n", "  8\nB-nk-1\n", "B\xe4nk 1", "not located, so not drawn as such: vise (vise): never seen",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is missing", want)
		}
	}
}

func TestText(t *testing.T) {
	for in, want := range map[string]string{"a\nb": "a b", "ä": "\xe4", "α": `\U+03B1`, "50%%d": "50% %d", "𝛼": "?"} {
		if got := text(in); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}

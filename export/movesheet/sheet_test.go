package movesheet

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"cellwall/export/caution"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/moves"
	"cellwall/scene/rigid"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// boxes is a scene of one box, 1 m wide, moved along X.
func boxes(by float64, from scene.Origin) *scene.Scene {
	at := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 900 + by, Z: 500}}
	o := scene.Object{Origin: from, Solids: []solid.Solid{solid.Box{Box: geom.Box{Pose: at, Size: r3.Vec{X: 1000, Y: 800, Z: 1000}}}}}
	o.Name, o.Kind = "mill <1>", fit.Enclosure
	return &scene.Scene{Objects: []scene.Object{o}}
}

// leftmost is the least X of the first polygon that a pen drew.
func leftmost(t *testing.T, page, pen string) float64 {
	t.Helper()
	_, rest, ok := strings.Cut(page, `<polygon class="`+pen+`" points="`)
	points, _, _ := strings.Cut(rest, `"`)
	if !ok {
		t.Fatalf("nothing is drawn with the pen %s", pen)
	}
	least := math.Inf(1)
	for _, p := range strings.Fields(points) {
		x, err := strconv.ParseFloat(strings.Split(p, ",")[0], 64)
		if err != nil {
			t.Fatal(err)
		}
		least = min(least, x)
	}
	return least
}

// After a move, record old and new frame, the difference, residuals, a check
// point, who and when (common practice).
func TestSheetHoldsTheRecord(t *testing.T) {
	m := moves.Move{
		Name: "mill <1>", Kind: "enclosure", Moved: true, Datum: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 830, Y: -60}},
		Motion: rigid.Motion{
			Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 12.34}}, Cov: geom.Cov6{{.01}, {1: .01}, {2: .01}, {3: 1e-8}, {4: 1e-8}, {5: 1e-8}},
		},
		Shared: []moves.Shared{{Old: moves.FaceName{Object: "mill", Face: "front"}, New: moves.FaceName{Object: "wall-2", Face: "face"}, Offset: .27, Sigma: .1}},
	}
	still := moves.Move{Name: "bench", Kind: "table", Datum: geom.Identity(), Motion: rigid.Still()}
	along := moves.Move{Name: "block-3", Kind: "block", Inside: "mill <1>", With: "mill <1>", Datum: geom.Identity(), Motion: rigid.Still()}
	along.Loose = []rigid.Direction{{Slide: r3.Vec{X: 1}}}
	slip := moves.Slip{Name: "vise", Home: "mill <1>", Slipped: true, Shift: r3.Vec{Y: 3.21}, Cov: geom.Cov6{{.04}, {1: .04}, {2: .04}, {3: 1e-8}, {4: 1e-8}, {5: 1e-8}}}
	s := Sheet{
		Cell: "a & b", Old: "map-1", New: "map-2", By: "J. Doe", When: time.Date(2026, 3, 4, 5, 6, 0, 0, time.UTC), Scans: []string{"level", "pass"},
		Moves:  &moves.Comparison{Level: .99, Moves: []moves.Move{m, still, along}, Slips: []moves.Slip{slip}},
		Points: []moves.Carried{{Taught: moves.Taught{Name: "pick", Object: "mill"}, Pose: geom.Pose{T: r3.Vec{X: 1262.34}}, Moved: true, Shift: 12.34}},
	}
	s.OldScene, s.NewScene = boxes(0, ""), boxes(12.34, scene.OldMoved)
	var b bytes.Buffer
	if err := s.Write(&b); err != nil {
		t.Fatal(err)
	}
	// From 150 mm behind the base to the box's end is 1.56 m, too wide for A4 at 1:10;
	// at 1:15 the outlines lie a fifteenth of the move apart on paper.
	if old, now := leftmost(t, b.String(), "old"), leftmost(t, b.String(), "new"); math.Abs(now-old-12.34/15) > 0.011 || !strings.Contains(b.String(), "1:15") {
		t.Errorf("the outlines lie %.3f mm apart on paper", now-old)
	}
	for _, want := range []string{
		"a &amp; b", "map-1", "map-2", "J. Doe", "2026-03-04 05:06", "level, pass", "mill &lt;1&gt;", "830.00", "842.34", "12.3 ± 0.2",
		"mill front", "wall-2 face", "0.27", "pick", "1262.34", "corrected", "not told apart from still", "went along with mill &lt;1&gt;", "open: a slide along base X", "3.2 ± 0.4", "no face of it is in both maps", "Checked by", caution.Sentences[0],
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is missing", want)
		}
	}
	d := xml.NewDecoder(strings.NewReader(strings.ReplaceAll(b.String(), "&nbsp;", " ")))
	d.Entity = xml.HTMLEntity
	for {
		if _, err := d.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatalf("the page is not well formed: %v", err)
		}
	}
}

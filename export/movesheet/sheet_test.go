package movesheet

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"
	"time"

	"cellwall/export/caution"
	"cellwall/mapping/geom"
	"cellwall/scene/moves"
	"cellwall/scene/rigid"

	"gonum.org/v1/gonum/spatial/r3"
)

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
	s := Sheet{
		Cell: "a & b", Old: "map-1", New: "map-2", By: "J. Doe", When: time.Date(2026, 3, 4, 5, 6, 0, 0, time.UTC), Scans: []string{"level", "pass"},
		Moves:  &moves.Comparison{Level: .99, Moves: []moves.Move{m, still}},
		Points: []moves.Carried{{Taught: moves.Taught{Name: "pick", Object: "mill"}, Pose: geom.Pose{T: r3.Vec{X: 1262.34}}, Moved: true, Shift: 12.34}},
	}
	var b bytes.Buffer
	if err := s.Write(&b); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"a &amp; b", "map-1", "map-2", "J. Doe", "2026-03-04 05:06", "level, pass", "mill &lt;1&gt;", "830.00", "842.34", "12.3 ± 0.2",
		"mill front", "wall-2 face", "0.27", "pick", "1262.34", "corrected", "not told apart from still", "Checked by", caution.Sentences[0],
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

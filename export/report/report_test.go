package report

import (
	"bytes"
	"encoding/xml"
	"html"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"cellwall/export/caution"
	"cellwall/export/drawing"
	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

func sample() *scene.Scene {
	pose := geom.Pose{R: geom.RotFromRPY(0, 0, 1.6), T: r3.Vec{X: 1700.04, Y: 180, Z: 480}}
	var cov geom.Cov6
	for i := range 3 {
		cov[i][i], cov[i+3][i+3] = 0.01, 1e-7
	}
	box := func(x float64) solid.Solid {
		return solid.Box{Box: geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: x}}, Size: r3.Vec{X: 150, Y: 45, Z: 45}}}
	}
	counts := mapping.Counts{Read: 2500000, Used: 2380000}
	counts.Dropped[mapping.NoReturn] = 100000
	counts.Dropped[mapping.RobotItself] = 20000
	floor := fit.Face{Name: "floor", Surface: surface.Surface{Points: 812345, RMS: 0.31, Scans: []int32{0, 1}}}
	return &scene.Scene{
		Cell: `mill <script>alert("x")</script> & co`, Scans: []string{"swing-level", "pass-front"}, Points: counts,
		Objects: []scene.Object{
			{Object: fit.Object{Name: "floor", Kind: fit.Floor, Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{Z: -450}}, Cov: cov, Faces: []fit.Face{floor}}, Solids: []solid.Solid{box(0)}, Margin: 20},
			{Object: fit.Object{Name: "vise", Kind: fit.Vise, Inside: "mill", Pose: pose, Cov: cov, NotSeen: []string{"where it ends on the far side"}, Measures: map[string]fit.Measure{
				"opening_mm": {Value: 63.42, Sigma: 0.1}, "jaw_width_mm": {Value: 150.1, Sigma: 0.2},
			}}, Solids: []solid.Solid{box(1700), box(1800)}, Margin: 20},
			{Object: fit.Object{Name: "remainder", Kind: scene.Remainder}, Solids: []solid.Solid{box(900)}, Margin: 20},
		},
		Agreement: []scene.Agreement{
			{Scan: "swing-level", Before: 0.456, Surfaces: 7, Moved: &scene.Shift{T: r3.Vec{X: 0.3, Y: 0.4}, R: r3.Vec{Z: 1e-3}}},
			{Scan: "pass-front", Before: 0.2, Surfaces: 1},
		},
		NotLocated: []fit.Refusal{{Name: "vise-2", Kind: fit.Vise, Reason: "only one jaw was seen", ScanNext: "a close pass from the left"}},
	}
}

func written(t *testing.T, s *scene.Scene) string {
	t.Helper()
	pages, err := drawing.Sheets(s, drawing.Title{})
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := Write(dir, s, "ab12-cd34", pages, []File{{"scene.json", "the scene, for programs"}}); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(filepath.Join(dir, FileName))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestReportSaysWhatItMust(t *testing.T) {
	page := written(t, sample())
	text := html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(page, " "))
	for _, want := range append([]string{
		caution.Heading, "1700.0 ± 0.2", "63.4 ± 0.2", "150.1 ± 0.4", "450.0 ± 0.2", "opening", "jaw width",
		"only one jaw was seen", "a close pass from the left", "2 500 000", "robot-itself", "4.0 %", "812 345", "0.31",
		"swing-level, pass-front", "scene.json", "what no object explains", "not seen: where it ends on the far side",
		"0.46", "0.50", "0.057°", "the shared planes do not tell", "grown by 20 mm", "Number ab12-cd34",
	}, caution.Sentences...) {
		if !strings.Contains(text, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
	if first := strings.Index(page, caution.Sentences[0]); first > strings.Index(page, `id="objects"`) {
		t.Error("the cautions do not come first")
	}
}

func TestReportNeedsNothingBesideIt(t *testing.T) {
	page := written(t, sample())
	if m := regexp.MustCompile(`(?i)<(script|link|img|iframe)|@import|url\(`).FindString(page); m != "" {
		t.Errorf("the page has %q", m)
	}
	for _, m := range regexp.MustCompile(`https?://[^"' ]*`).FindAllString(page, -1) {
		if !strings.HasPrefix(m, "http://www.w3.org/") { // names of XML, never fetched
			t.Errorf("the page refers to %s", m)
		}
	}
}

// The page is XML as well as HTML: every tag that is opened is closed.
func TestReportIsWellFormed(t *testing.T) {
	d := xml.NewDecoder(strings.NewReader(written(t, sample())))
	tables, scoped := 0, 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch e.Name.Local {
		case "table":
			tables++
		case "th":
			for _, a := range e.Attr {
				if a.Name.Local == "scope" {
					scoped++
				}
			}
		}
	}
	if tables < 5 || scoped < tables {
		t.Errorf("%d tables with %d scoped headings", tables, scoped)
	}
}

func TestReportIsTheSameEveryTime(t *testing.T) {
	a, b := written(t, sample()), written(t, sample())
	if !bytes.Equal([]byte(a), []byte(b)) {
		t.Error("the bytes differ")
	}
}

func TestThousands(t *testing.T) {
	for n, want := range map[int64]string{0: "0", 999: "999", 1000: "1 000", 1234567: "1 234 567"} {
		if got := strings.ReplaceAll(thousands(n), "\u202f", " "); got != want {
			t.Errorf("%d becomes %q", n, got)
		}
	}
}

func TestPercent(t *testing.T) {
	for _, c := range []struct {
		share float64
		n     int64
		want  string
	}{{0, 0, "0.0 %"}, {0.001, 3, "< 0.1 %"}, {12.34, 5, "12.3 %"}} {
		if got := percent(c.share, c.n); got != c.want {
			t.Errorf("%g: %q, want %q", c.share, got, c.want)
		}
	}
}

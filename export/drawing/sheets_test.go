package drawing

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"cellwall/export/caution"
	"cellwall/export/drawing/paper"
	"cellwall/fit"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r2"
)

func sampleSheets(t *testing.T) map[string]*paper.Page {
	t.Helper()
	pages, err := Sheets(sampleScene(), sampleTitle)
	if err != nil {
		t.Fatal(err)
	}
	out := make(map[string]*paper.Page)
	for _, p := range pages {
		out[p.Name] = p
	}
	return out
}

func TestSheetsOfASampleCell(t *testing.T) {
	pages := sampleSheets(t)
	for _, name := range []string{"plan", "front", "side", "isometric", "detail-vise", "check"} {
		if pages[name] == nil {
			t.Fatalf("there is no sheet %q", name)
		}
	}
}

// DESIGN.md section 10: the cautions stand on every drawing; ISO 7200: so do the
// fields of the title block.
func TestEverySheetCarriesCautionsAndTitleBlock(t *testing.T) {
	for name, p := range sampleSheets(t) {
		all := ""
		for _, x := range p.Texts() {
			all += " " + x.S
		}
		for _, c := range caution.Sentences {
			if !strings.Contains(all, c) {
				t.Errorf("%s: %q is missing", name, c)
			}
		}
		for _, f := range []string{"Legal owner", "Workshop", "Identification number", "CW-0001", "Date of issue", "2024-05-17",
			"Sheet", "Title", "sample cell", "Approval person", "B. Checker", "Creator", "A. Fitter", "Document type", "First angle"} {
			if !strings.Contains(all, f) {
				t.Errorf("%s: %q is missing", name, f)
			}
		}
	}
}

// What was looked for and not found must not look like free floor.
func TestViewsSayWhatWasNotLocated(t *testing.T) {
	s := sampleScene()
	s.NotLocated = []fit.Refusal{{Name: "second bench", Kind: fit.Table}}
	pages, err := Sheets(s, sampleTitle)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range pages[:4] {
		if !slices.ContainsFunc(p.Texts(), func(x paper.Text) bool { return strings.Contains(x.S, "second bench") }) {
			t.Errorf("%s does not name the bench", p.Name)
		}
	}
}

func TestCheckListLeavesOutWhatTheMapDoesNotKnow(t *testing.T) {
	known := key{object: "bench", Measure: fit.Measure{Value: 750, Sigma: 0.4}}
	vague := key{object: "block", Measure: fit.Measure{Value: 750, Sigma: 15}}
	if got, left := checkable([]key{vague, known}); len(got) != 1 || got[0].object != "bench" || left != 0 {
		t.Errorf("listed: %v, %d left", got, left)
	}
}

// No lettering stands on other lettering or off the sheet.
func TestLetteringDoesNotOverlap(t *testing.T) {
	for name, p := range sampleSheets(t) {
		texts := p.Texts()
		for i, a := range texts {
			box := inner(a)
			if box.Min.X < 0 || box.Min.Y < 0 || box.Max.X > p.Width || box.Max.Y > p.Height {
				t.Errorf("%s: %q leaves the sheet", name, a.S)
			}
			for _, b := range texts[:i] {
				if o := inner(b); box.Min.X < o.Max.X && o.Min.X < box.Max.X && box.Min.Y < o.Max.Y && o.Min.Y < box.Max.Y &&
					straightUp(a) && straightUp(b) {
					t.Errorf("%s: %q stands on %q", name, a.S, b.S)
				}
			}
		}
	}
}

// inner is the box from the base line up, without the descenders, which may
// reach into the air above the next line.
func inner(x paper.Text) r2.Box {
	b := x.Box()
	if x.Turn == 0 {
		b.Min.Y = x.At.Y
	}
	return b
}

// straightUp tells whether the text's upright box is its own shape.
func straightUp(x paper.Text) bool {
	return math.Mod(math.Abs(x.Turn), math.Pi/2) < 0.01
}

func TestViewsStayInTheField(t *testing.T) {
	s := sampleScene()
	keys := keysOf(s)
	for _, v := range views(s, keys) {
		f, _ := compose(s, v)
		if _, _, err := f.frame(sizesFor(v, keys)); err != nil {
			t.Fatal(err)
		}
		if b := f.box(); b.Min.X < field.Min.X || b.Min.Y < field.Min.Y || b.Max.X > field.Max.X || b.Max.Y > field.Max.Y {
			t.Errorf("%s: %v leaves the field %v", v.file, b, field)
		}
	}
}

// ISO 5455: what is drawn has the stated scale.
func TestDimensionsAreToScale(t *testing.T) {
	s := sampleScene()
	v := front()
	f, _ := compose(s, v)
	r, _, err := f.frame(nil)
	if err != nil {
		t.Fatal(err)
	}
	f.trace()
	// The mill is 2100 mm high and its left edge stands free.
	longest := 0.0
	for _, e := range f.edges {
		if math.Abs(e.A.X-e.B.X) < 1e-6 && math.Abs(e.A.X-f.at(mill().Pose.T).X) < 25 {
			longest = max(longest, math.Abs(e.A.Y-e.B.Y))
		}
	}
	if want := 2100 * r.of(); math.Abs(longest-want) > 0.2 {
		t.Errorf("the mill is drawn %.2f mm high at %v, want %.2f", longest, r, want)
	}
}

func TestWhatHidesTheCellIsLeftOut(t *testing.T) {
	s := sampleScene()
	without := func(v view) []string {
		var out []string
		for i := range s.Objects {
			if v.leftOut(&s.Objects[i]) {
				out = append(out, s.Objects[i].Name)
			}
		}
		return out
	}
	for _, c := range []struct {
		v    view
		want []string
	}{
		{plan(), []string{"ceiling"}}, {front(), nil}, {side(), nil}, {isometric(s), []string{"ceiling"}}, {corner(2), []string{"wall-1", "wall-2", "ceiling"}},
	} {
		if got := without(c.v); !slices.Equal(got, c.want) {
			t.Errorf("%s leaves out %v, want %v", c.v.file, got, c.want)
		}
	}
	// Seen from behind the east wall, that wall goes.
	v := view{fromBase: looking(axisY, axisZ)}
	if got := without(v); !slices.Equal(got, []string{"wall-1"}) {
		t.Errorf("the view along -X leaves out %v", got)
	}
}

func TestSheetsAreTheSameEveryTime(t *testing.T) {
	var first []byte
	for range 3 {
		var all []byte
		dir := t.TempDir()
		pages, err := Sheets(sampleScene(), sampleTitle)
		if err != nil {
			t.Fatal(err)
		}
		if err := Write(dir, pages, sampleTitle); err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"plan.svg", "isometric.svg", "detail-vise.svg", PDFFile} {
			b, err := os.ReadFile(filepath.Join(dir, Folder, name))
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, b...)
		}
		if first != nil && !bytes.Equal(first, all) {
			t.Fatal("the bytes differ")
		}
		first = all
	}
}

// A scene of nothing, and one of an object without solids, still make sheets.
func TestSheetsOfNearlyNothing(t *testing.T) {
	for _, s := range []*scene.Scene{
		{Cell: "empty"},
		{Cell: "no solids", Objects: []scene.Object{object("block", "block-1", at(1000, 0, 0, 0))}},
	} {
		pages, err := Sheets(s, Title{})
		if err != nil {
			t.Fatalf("%s: %v", s.Cell, err)
		}
		if len(pages) != 5 {
			t.Errorf("%s: %d sheets, want 5", s.Cell, len(pages))
		}
	}
}

func TestSceneTooLargeForASheetIsRefused(t *testing.T) {
	s := &scene.Scene{Objects: []scene.Object{object("block", "far", at(1e8, 0, 0, 0), bench().Solids...)}}
	s.Objects[0].Solids = append(s.Objects[0].Solids, boxIn(at(1e8, 0, 0, 0), axisX, axisY))
	if _, err := Sheets(s, Title{}); err == nil || !strings.Contains(err.Error(), "ISO 5455") {
		t.Errorf("got %v", err)
	}
}

// Forty blocks have more dimensions than a sheet has rows; the vise that comes
// last in the scene is listed first, and the sheet says how many are missing.
func TestCheckListHasOneSheetAndTheViseFirst(t *testing.T) {
	s := &scene.Scene{Cell: "many"}
	for i := range 40 {
		s.Objects = append(s.Objects, object("block", fmt.Sprintf("block-%d", i+1), at(200*float64(i), 0, 0, 0)))
	}
	s.Objects = append(s.Objects, object("vise", "vise", at(100, 0, 0, 0)))
	pages, err := Sheets(s, Title{})
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string]int{}
	first, heading := "", ""
	for _, p := range pages {
		if p.Name != "check" {
			continue
		}
		for _, x := range p.Texts() {
			kind, _, _ := strings.Cut(x.S, "-")
			if kind == "block" || x.S == "vise" {
				listed[kind]++
				first = cmp.Or(first, x.S)
			}
			heading += x.S + " "
		}
	}
	if first != "vise" || listed["vise"] != 3 || listed["block"] != 2*rowsPerColumn-3 {
		t.Errorf("%v are listed, %s first", listed, first)
	}
	if want := fmt.Sprintf("%d more that it knows better", 3*40-listed["block"]); !strings.Contains(heading, want) {
		t.Errorf("%q is missing in %q", want, heading)
	}
}

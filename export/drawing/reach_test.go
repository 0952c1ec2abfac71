package drawing

import (
	"strings"
	"testing"

	"cellwall/scene/outline"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// The sheets show what they are given, to scale and within the frame: outlines
// with their legend, clearances by name, and the caution.
func TestReachSheetsShowOutlinesAndClearances(t *testing.T) {
	square := outline.Ring{{X: -900, Y: -900}, {X: 900, Y: -900}, {X: 900, Y: 900}, {X: -900, Y: 900}}
	rings := [][]outline.Ring{{square}, {square}, {square}}
	f := &ReachFigure{Swept: rings, Posture: rings, About: "What moves.csv sweeps", Nearest: []Nearest{
		{OnArm: r3.Vec{X: 400}, OnObject: r3.Vec{X: 1000, Y: 100, Z: 200}, Text: "row-7: " + ClearanceText(37.25, 36.96)},
		{OnArm: r3.Vec{Y: 300}, OnObject: r3.Vec{Y: 290}, Text: "row-9: " + ClearanceText(-12, -12.3), Hit: true},
	}}
	pages, err := ReachSheets(sampleScene(), f, Title{Number: "ab12"})
	if err != nil || len(pages) != 3 {
		t.Fatalf("%d sheets, %v", len(pages), err)
	}
	for _, p := range pages {
		var text string
		for _, x := range p.Texts() {
			text += x.S + "\n"
			if b := x.Box(); b.Min.X < 0 || b.Max.X > sheetWidth || b.Min.Y < 0 || b.Max.Y > sheetHeight {
				t.Errorf("%s: %q hangs over the sheet", p.Name, x.S)
			}
		}
		for _, want := range []string{"37.2 (nowhere under 37.0)", "overlap 12", "swept by the program", "arm where it is nearest", "not a safety function", "ab12", "moves.csv"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s lacks %q", p.Name, want)
			}
		}
		if strings.Contains(text, "maximum space") {
			t.Errorf("%s explains an outline that it does not show", p.Name)
		}
	}
}

// A square of 1800 mm is 1800 mm large at the sheet's scale.
func TestOutlinesAreToScale(t *testing.T) {
	square := outline.Ring{{X: -900, Y: -900}, {X: 900, Y: -900}, {X: 900, Y: 900}, {X: -900, Y: 900}}
	f := &figure{view: plan(), scale: ratio{1, 20}, origin: r2.Vec{X: 200, Y: 150}}
	s := newSheet("x", "x", "", "", "1:20", 1, 1, Title{})
	before := s.ink.lines[s.ink.cell(r2.Vec{X: 155.2, Y: 150})]
	s.rings(f, drawn{rings: []outline.Ring{square}})
	for _, p := range []r2.Vec{{X: 155, Y: 150}, {X: 245, Y: 150}, {X: 200, Y: 105}, {X: 200, Y: 195}} {
		if s.ink.lines[s.ink.cell(p)] == before {
			t.Errorf("no line runs through %v", p)
		}
	}
}

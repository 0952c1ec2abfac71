package drawing

import (
	"fmt"
	"testing"

	"cellwall/export/drawing/paper"

	"gonum.org/v1/gonum/spatial/r2"
)

// Forty names close together keep clear of each other, or are said to be missing.
func TestLabelsKeepClearOfEachOther(t *testing.T) {
	s := &sheet{Page: &paper.Page{Width: sheetWidth, Height: sheetHeight}, ink: newInk(sheetWidth, sheetHeight)}
	var labels []label
	for i := range 40 {
		labels = append(labels, label{text: fmt.Sprintf("object-%d", i), anchors: []r2.Vec{{X: 150 + 15*float64(i%7), Y: 120 + 15*float64(i/7)}}})
	}
	left := s.drawLabels(labels)
	texts := s.Texts()
	if len(texts)+len(left) != len(labels) {
		t.Errorf("%d labels drawn and %d left, of %d", len(texts), len(left), len(labels))
	}
	if len(texts) < 30 {
		t.Errorf("only %d labels found a place", len(texts))
	}
	for i, a := range texts {
		for _, b := range texts[:i] {
			p, q := a.Box(), b.Box()
			if p.Min.X < q.Max.X && q.Min.X < p.Max.X && p.Min.Y < q.Max.Y && q.Min.Y < p.Max.Y {
				t.Errorf("%q stands on %q", a.S, b.S)
			}
		}
	}
}

func TestLabelsAvoidLines(t *testing.T) {
	s := &sheet{Page: &paper.Page{Width: 100, Height: 100}, ink: newInk(100, 100)}
	for y := 51.; y < 100; y++ { // the upper half is full of lines
		s.ink.line(r2.Vec{Y: y}, r2.Vec{X: 99, Y: y})
	}
	s.drawLabels([]label{{text: "name", anchors: []r2.Vec{{X: 50, Y: 50}}}})
	if y := s.Texts()[0].At.Y; y > 48 {
		t.Errorf("the label stands at %g, among the lines", y)
	}
}

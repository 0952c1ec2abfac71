package drawing

import (
	"math"

	"cellwall/export/drawing/paper"

	"gonum.org/v1/gonum/spatial/r2"
)

// titleBlock fills in the title block, field by field as ISO 7200 has them.
func (s *sheet) titleBlock(name, kind, scale, number string, t Title) {
	date := ""
	if !t.Date.IsZero() {
		date = t.Date.Format("2006-01-02")
	}
	x, y := block.Min.X, block.Min.Y
	s.entry(r2.NewBox(x, y+20, x+56, y+40), "Legal owner", t.Owner, paper.Medium)
	s.entry(r2.NewBox(x+56, y+20, x+150, y+40), "Title", t.Name, paper.Large)
	s.write(x+58, y+22.5, paper.Fit(name, paper.Medium, 90), paper.Medium)
	s.projection(r2.NewBox(x+150, y+20, x+180, y+40))
	s.entry(r2.NewBox(x, y+10, x+56, y+20), "Document type", kind, paper.Medium)
	s.entry(r2.NewBox(x+56, y+10, x+118, y+20), "Creator", t.Creator, paper.Medium)
	s.entry(r2.NewBox(x+118, y+10, x+180, y+20), "Approval person", t.Approver, paper.Medium)
	s.entry(r2.NewBox(x, y, x+56, y+10), "Identification number", t.Number, paper.Medium)
	s.entry(r2.NewBox(x+56, y, x+96, y+10), "Date of issue", date, paper.Medium)
	s.entry(r2.NewBox(x+96, y, x+118, y+10), "Sheet", number, paper.Medium)
	s.entry(r2.NewBox(x+118, y, x+150, y+10), "Scale", scale, paper.Medium)
	s.entry(r2.NewBox(x+150, y, x+180, y+10), "Unit, size", "mm, A3", paper.Medium)
}

// entry is one field of the title block, its caption at the top.
func (s *sheet) entry(b r2.Box, caption, text string, height float64) {
	s.Rect(thinPen, b)
	s.write(b.Min.X+2, b.Max.Y-1-paper.Small, caption, paper.Small)
	y := b.Max.Y - 2.6 - paper.Small - height
	s.write(b.Min.X+2, y, paper.Fit(text, height, b.Max.X-b.Min.X-4), height)
}

// projection draws the symbol of first-angle projection (ISO 5456-2): a cone's
// frustum, and to its right what is seen from its left.
func (s *sheet) projection(b r2.Box) {
	s.Rect(thinPen, b)
	s.write(b.Min.X+2, b.Max.Y-1-paper.Small, "First angle", paper.Small)
	const d = 5. // of the small end, half of the large end's
	y := b.Min.Y + 7.5
	x := b.Min.X + 3.5
	s.Stroke(thinPen, []r2.Vec{{X: x, Y: y - d/2}, {X: x + 2*d, Y: y - d}, {X: x + 2*d, Y: y + d}, {X: x, Y: y + d/2}, {X: x, Y: y - d/2}})
	c := r2.Vec{X: x + 3.6*d, Y: y}
	s.Stroke(thinPen, circle(c, d/2), circle(c, d))
}

// circle is drawn as a polygon whose corners no eye can see.
func circle(c r2.Vec, r float64) []r2.Vec {
	const n = 48
	out := make([]r2.Vec, n+1)
	for i := range out {
		si, co := math.Sincos(2 * math.Pi * float64(i) / n)
		out[i] = r2.Add(c, r2.Vec{X: r * co, Y: r * si})
	}
	return out
}

// legend explains the lines of a view.
func (s *sheet) legend(views, hatched bool) {
	var entries []legendLine
	if views {
		entries = []legendLine{
			{edgePens[visibleEdge], "visible edge"}, {edgePens[hiddenEdge], "hidden edge"},
			{edgePens[viseEdge], "visible edge of a vise"}, {edgePens[remainderEdge], "what no object explains"},
		}
	}
	if hatched {
		entries = append(entries, legendLine{text: "mostly unseen, in reach"})
	}
	s.explain(entries, "Sizes in mm with their expanded uncertainty, k = 2 (95 %). Solids are drawn as fitted, without margin.")
}

// legendLine is a pen, or hatching where that has no width, and what it stands for.
type legendLine struct {
	pen  paper.Pen
	text string
}

// explain fills in the legend.
func (s *sheet) explain(entries []legendLine, note string) {
	s.Rect(thinPen, legend)
	x, y := legend.Min.X+3, legend.Max.Y-5.
	for _, e := range entries {
		if e.pen.Width > 0 {
			s.Line(e.pen, r2.Vec{X: x, Y: y + 1}, r2.Vec{X: x + 15, Y: y + 1})
		} else {
			s.hatch(r2.NewBox(x, y-0.5, x+15, y+2.5), func(r2.Vec) bool { return true })
		}
		s.write(x+18, y, e.text, paper.Small)
		y -= leading
	}
	for _, l := range paper.Wrap(note, paper.Small, legend.Max.X-legend.Min.X-5) {
		s.write(x, y, l, paper.Small)
		y -= leading
	}
}

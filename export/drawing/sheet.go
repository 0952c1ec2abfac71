package drawing

import (
	"fmt"
	"math"

	"cellwall/export/caution"
	"cellwall/export/drawing/paper"

	"gonum.org/v1/gonum/spatial/r2"
)

// An A3 sheet (ISO 216), landscape, with the margins of ISO 5457: 20 mm at the
// left, where it is filed, 10 mm elsewhere. A band at the foot holds cautions,
// legend and title block; a strip at the head says what is shown. Between them
// lies the field. All mm.
var (
	frame   = r2.NewBox(20, 10, 410, 287)
	band    = r2.NewBox(20, 10, 410, 50)
	warning = r2.NewBox(20, 10, 164, 50)
	legend  = r2.NewBox(164, 10, 230, 50)
	block   = r2.NewBox(230, 10, 410, 50) // title blocks are 180 mm wide (ISO 7200)
	head    = r2.NewBox(20, 275, 410, 287)
	field   = r2.NewBox(20, 50, 410, 275)
)

const (
	sheetWidth  = 420
	sheetHeight = 297
)

// sheet is a page with its frame and what is known of the room left on it.
type sheet struct {
	*paper.Page
	ink *ink
}

// newSheet lays out a sheet: frame, cautions, title block, head.
func newSheet(file, name, about, kind, scale string, number, of int, t Title) *sheet {
	s := &sheet{
		Page: &paper.Page{Name: file, Title: name, Width: sheetWidth, Height: sheetHeight},
		ink:  newInk(sheetWidth, sheetHeight),
	}
	s.Rect(framePen, frame)
	s.Line(framePen, r2.Vec{X: band.Min.X, Y: band.Max.Y}, band.Max)
	s.centringMarks()
	s.cautions()
	s.titleBlock(name, kind, scale, fmt.Sprintf("%d / %d", number, of), t)
	s.heading(name, about)
	for _, b := range []r2.Box{
		r2.NewBox(0, 0, sheetWidth, field.Min.Y), r2.NewBox(0, field.Max.Y, sheetWidth, sheetHeight-1),
		r2.NewBox(0, 0, frame.Min.X, sheetHeight-1), r2.NewBox(frame.Max.X, 0, sheetWidth-1, sheetHeight-1),
	} {
		s.ink.take(b)
	}
	return s
}

// centringMarks stand at the middle of the sides (ISO 5457). They end at the
// frame, for beyond it there is lettering.
func (s *sheet) centringMarks() {
	x, y := sheetWidth/2., sheetHeight/2.
	s.Stroke(framePen,
		[]r2.Vec{{X: x, Y: 0}, {X: x, Y: frame.Min.Y}}, []r2.Vec{{X: x, Y: sheetHeight}, {X: x, Y: frame.Max.Y}},
		[]r2.Vec{{X: 0, Y: y}, {X: frame.Min.X, Y: y}}, []r2.Vec{{X: sheetWidth, Y: y}, {X: frame.Max.X, Y: y}})
}

// cautions puts the warning into its box.
func (s *sheet) cautions() {
	s.Rect(thinPen, warning)
	y := warning.Max.Y - 2 - paper.Medium
	s.write(warning.Min.X+3, y, caution.Heading, paper.Medium)
	text := ""
	for _, c := range caution.Sentences {
		text += c + " "
	}
	for _, line := range paper.Wrap(text, paper.Small, warning.Max.X-warning.Min.X-6) {
		y -= leading
		s.write(warning.Min.X+3, y, line, paper.Small)
	}
}

// leading is from one line of small lettering to the next (ISO 3098-1: 1.6
// heights, from memory), rounded.
const leading = 4.5

// heading says what the sheet shows.
func (s *sheet) heading(name, about string) {
	y := head.Min.Y + 3.5
	s.write(head.Min.X+4, y, name, paper.Large)
	x := head.Min.X + 10 + paper.Width(name, paper.Large)
	lines := paper.Wrap(about, paper.Small, headingEnd-x)
	for i, l := range lines {
		s.write(x, y+leading*float64(len(lines)-1-i), l, paper.Small)
	}
}

// headingEnd is where the room of the scale bar begins.
const headingEnd = 282

// write is plain lettering from (x, y) on.
func (s *sheet) write(x, y float64, text string, height float64) {
	s.Text(paper.Text{At: r2.Vec{X: x, Y: y}, S: text, Height: height, Color: black})
}

// scaleBar draws a bar at the right of the head, in four parts of a round
// length.
func (s *sheet) scaleBar(r ratio) {
	const longest = 100. // mm of paper
	part := math.Pow(10, math.Floor(math.Log10(longest/4/r.of())))
	for _, k := range []float64{5, 2} {
		if 4*k*part*r.of() <= longest {
			part *= k
			break
		}
	}
	w := part * r.of()
	x, y := head.Max.X-12-4*w, head.Min.Y+6.5
	for i := range 4 {
		b := r2.NewBox(x+float64(i)*w, y, x+float64(i+1)*w, y+2)
		if i%2 == 0 {
			s.FillRect(black, b)
		}
		s.Rect(thinPen, b)
	}
	unit, mm := "mm", 1.0
	if part >= 1000 {
		unit, mm = "m", 1000
	}
	for _, i := range []int{0, 2, 4} {
		label := fmt.Sprintf("%g", float64(i)*part/mm)
		if i == 4 {
			label += " " + unit
		}
		s.Text(paper.Text{At: r2.Vec{X: x + float64(i)*w, Y: y - 4}, S: label, Height: paper.Small, Align: paper.Centre, Color: black})
	}
}

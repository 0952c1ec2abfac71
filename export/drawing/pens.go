package drawing

import (
	"image/color"

	"cellwall/export/drawing/paper"
)

// Colours of Okabe and Ito, which colour-blind readers can tell apart. None of
// them carries a meaning alone: the line's type or a letter says the same.
var (
	black      = color.NRGBA{A: 255}
	white      = color.NRGBA{R: 255, G: 255, B: 255, A: 255}
	vermillion = color.NRGBA{R: 0xD5, G: 0x5E, A: 255}
	green      = color.NRGBA{G: 0x9E, B: 0x73, A: 255}
	blue       = color.NRGBA{G: 0x72, B: 0xB2, A: 255}
	grey       = color.NRGBA{R: 0x70, G: 0x70, B: 0x70, A: 255}
	purple     = color.NRGBA{R: 0xCC, G: 0x79, B: 0xA7, A: 255}
)

// Line widths of ISO 128-2, wide to narrow 2:1, mm.
const (
	wide   = 0.7
	narrow = 0.35
)

// Line types of ISO 128-2 (lengths in line widths, from memory): dashed 12-3;
// long-dashed double-dotted 24-3-0.5-3-0.5-3.
var (
	dashed       = []float64{12 * narrow, 3 * narrow}
	doubleDotted = []float64{24 * narrow, 3 * narrow, narrow / 2, 3 * narrow, narrow / 2, 3 * narrow}
)

// The pens of a view; a lesser one goes before a greater where both would draw.
const (
	viseEdge = iota
	visibleEdge
	remainderEdge
	hiddenEdge
	pens
)

var edgePens = [pens]paper.Pen{
	viseEdge:      {Width: wide, Color: vermillion},
	visibleEdge:   {Width: wide, Color: black},
	remainderEdge: {Width: narrow, Color: purple, Dash: doubleDotted},
	hiddenEdge:    {Width: narrow, Color: black, Dash: dashed},
}

// Outlines are drawn with a dash-dotted line, as what can move to where it is not
// is (ISO 128-2; lengths from memory).
var (
	dashDotted  = []float64{24 * narrow, 3 * narrow, narrow / 2, 3 * narrow}
	sweptPen    = paper.Pen{Width: wide, Color: vermillion}
	outerPen    = paper.Pen{Width: wide, Color: purple, Dash: dashDotted}
	innerPen    = paper.Pen{Width: wide, Color: green, Dash: dashed}
	posturePen  = paper.Pen{Width: narrow, Color: green}
	contextPens = [pens]paper.Pen{
		viseEdge:      {Width: narrow, Color: black},
		visibleEdge:   {Width: narrow, Color: black},
		remainderEdge: {Width: narrow, Color: black, Dash: doubleDotted},
		hiddenEdge:    {Width: narrow / 2, Color: black, Dash: dashed},
	}
)

var (
	framePen = paper.Pen{Width: wide, Color: black}
	thinPen  = paper.Pen{Width: narrow, Color: black}
	sizePen  = paper.Pen{Width: narrow, Color: blue}
	hatchPen = paper.Pen{Width: narrow / 2, Color: grey}
)

// Package paper is a sheet of drawing paper: lines, areas and lettering in
// millimetres from the lower left corner, put on it once and written as SVG,
// PDF or an image.
package paper

import (
	"image/color"

	"gonum.org/v1/gonum/spatial/r2"
)

// Page is what stands on one sheet, in the order in which it was put there.
type Page struct {
	Name          string // of the file, without extension
	Title         string // in words
	Width, Height float64
	items         []item
}

// item is a stroke, an area or a text.
type item interface{ draw(*artist) }

// Pen is how a line is drawn. Widths and dashes in mm; no Dash is continuous.
type Pen struct {
	Width float64
	Dash  []float64
	Color color.NRGBA
}

type stroke struct {
	pen   Pen
	paths [][]r2.Vec
}

type area struct {
	fill color.NRGBA
	path []r2.Vec
}

// Stroke draws polylines with one pen.
func (p *Page) Stroke(pen Pen, paths ...[]r2.Vec) {
	if len(paths) > 0 {
		p.items = append(p.items, stroke{pen, paths})
	}
}

// Line draws a straight line.
func (p *Page) Line(pen Pen, a, b r2.Vec) { p.Stroke(pen, []r2.Vec{a, b}) }

// Rect draws the outline of a rectangle.
func (p *Page) Rect(pen Pen, b r2.Box) {
	p.Stroke(pen, append(corners(b), b.Min))
}

// Fill paints a polygon.
func (p *Page) Fill(c color.NRGBA, path ...r2.Vec) {
	p.items = append(p.items, area{c, path})
}

// FillRect paints a rectangle.
func (p *Page) FillRect(c color.NRGBA, b r2.Box) { p.Fill(c, corners(b)...) }

// Text puts lettering on the page.
func (p *Page) Text(t Text) {
	if t.S != "" {
		p.items = append(p.items, t)
	}
}

// Texts is all the lettering on the page.
func (p *Page) Texts() []Text {
	var out []Text
	for _, it := range p.items {
		if t, ok := it.(Text); ok {
			out = append(out, t)
		}
	}
	return out
}

func corners(b r2.Box) []r2.Vec {
	return []r2.Vec{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}}
}

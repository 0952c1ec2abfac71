package paper

import (
	"image/color"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot/vg"
)

// artist draws a page on a canvas of any kind.
type artist struct {
	vg.Canvas
	latin bool // the canvas takes Windows-1252 rather than UTF-8
}

func (a *artist) draw(p *Page) {
	a.SetColor(color.White)
	a.Fill(path(corners(r2.Box{Max: r2.Vec{X: p.Width, Y: p.Height}}), true))
	for _, it := range p.items {
		it.draw(a)
	}
}

func (s stroke) draw(a *artist) {
	a.SetColor(s.pen.Color)
	a.SetLineWidth(length(s.pen.Width))
	dash := make([]vg.Length, len(s.pen.Dash))
	for i, d := range s.pen.Dash {
		dash[i] = length(d)
	}
	a.SetLineDash(dash, 0)
	var all vg.Path
	for _, p := range s.paths {
		all = append(all, path(p, false)...)
	}
	a.Stroke(all)
}

func (s area) draw(a *artist) {
	a.SetColor(s.fill)
	a.Fill(path(s.path, true))
}

func (t Text) draw(a *artist) {
	a.SetColor(t.Color)
	a.Push()
	defer a.Pop()
	a.Translate(point(t.At))
	if t.Turn != 0 {
		a.Rotate(t.Turn)
	}
	start := vg.Point{X: length(-float64(t.Align) * Width(t.S, t.Height))}
	a.letter(face(t.Height), start, t.S)
}

func path(pts []r2.Vec, closed bool) vg.Path {
	var p vg.Path
	for i, q := range pts {
		if i == 0 {
			p.Move(point(q))
		} else {
			p.Line(point(q))
		}
	}
	if closed {
		p.Close()
	}
	return p
}

func length(mm float64) vg.Length { return vg.Length(mm) * vg.Millimeter }

func point(v r2.Vec) vg.Point { return vg.Point{X: length(v.X), Y: length(v.Y)} }

package movesheet

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"
	"cellwall/scene"
	"cellwall/scene/moves"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// figure is one drawing of the sheet, to scale when printed.
type figure struct {
	Title string
	Scale string
	SVG   template.HTML
}

// Paper, mm.
const (
	paperWide = 170.0 // what A4 leaves between its margins
	paperHigh = 190.0
	inset     = 8.0
)

// scales are those of ISO 5455 that shops fit on a sheet by, and two between.
var scales = []float64{5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 200}

// canvas gathers lines in a view: frame's X to the right and Y up on paper.
type canvas struct {
	frame  geom.Pose // baseFromView
	window r2.Box    // mm of the shop
	scale  float64
	ink    strings.Builder
	labels []r2.Box // on paper
}

// newCanvas fits what is shown into the paper.
func newCanvas(frame geom.Pose, shown []*scene.Object, also ...r3.Vec) *canvas {
	c := &canvas{frame: frame, window: r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}}
	grow := func(q r2.Vec) {
		w := &c.window
		w.Min = r2.Vec{X: min(w.Min.X, q.X), Y: min(w.Min.Y, q.Y)}
		w.Max = r2.Vec{X: max(w.Max.X, q.X), Y: max(w.Max.Y, q.Y)}
	}
	for _, o := range shown {
		for _, ring := range c.outlines(o) {
			for _, q := range ring {
				grow(q)
			}
		}
	}
	for _, p := range also {
		grow(c.flat(p))
	}
	size := r2.Sub(c.window.Max, c.window.Min)
	c.scale = scales[len(scales)-1]
	for _, s := range scales {
		if size.X/s <= paperWide-2*inset && size.Y/s <= paperHigh-2*inset {
			c.scale = s
			break
		}
	}
	return c
}

func (c *canvas) flat(p r3.Vec) r2.Vec {
	q := c.frame.Inverse().Apply(p)
	return r2.Vec{X: q.X, Y: q.Y}
}

// paper takes a place in the view to one on paper, Y down as SVG has it.
func (c *canvas) paper(q r2.Vec) r2.Vec {
	return r2.Vec{X: inset + (q.X-c.window.Min.X)/c.scale, Y: inset + (c.window.Max.Y-q.Y)/c.scale}
}

// outlines are the hulls of the object's solids in the view.
func (c *canvas) outlines(o *scene.Object) [][]r2.Vec {
	var out [][]r2.Vec
	for _, s := range o.Solids {
		var pts []r2.Vec
		for _, p := range s.Mesh(0).Vertices {
			pts = append(pts, c.flat(p))
		}
		out = append(out, flat.Hull(pts))
	}
	return out
}

// draw draws an object with a pen, which is a class of the page's style.
func (c *canvas) draw(o *scene.Object, pen string) {
	for _, ring := range c.outlines(o) {
		c.ink.WriteString(`<polygon class="` + pen + `" points="`)
		for _, q := range ring {
			p := c.paper(q)
			fmt.Fprintf(&c.ink, "%.2f,%.2f ", p.X, p.Y)
		}
		c.ink.WriteString("\"/>\n")
	}
}

func (c *canvas) line(a, b r2.Vec, pen string) {
	fmt.Fprintf(&c.ink, "<line class=\"%s\" x1=\"%.2f\" y1=\"%.2f\" x2=\"%.2f\" y2=\"%.2f\"/>\n", pen, a.X, a.Y, b.X, b.Y)
}

// label writes a word about a place on paper, further down where another stands.
func (c *canvas) label(at r2.Vec, word string) {
	const high, wide = 3.5, 1.9 // of a letter, with room between lines
	half := r2.Vec{X: wide * float64(len(word)) / 2, Y: high / 2}
	b := r2.Box{Min: r2.Sub(at, half), Max: r2.Add(at, half)}
	for slices.ContainsFunc(c.labels, func(o r2.Box) bool {
		return o.Min.X < b.Max.X && b.Min.X < o.Max.X && o.Min.Y < b.Max.Y && b.Min.Y < o.Max.Y
	}) {
		b.Min.Y, b.Max.Y, at.Y = b.Min.Y+high, b.Max.Y+high, at.Y+high
	}
	c.labels = append(c.labels, b)
	fmt.Fprintf(&c.ink, "<text x=\"%.2f\" y=\"%.2f\">%s</text>\n", at.X, at.Y+1, template.HTMLEscapeString(word))
}

// figure closes the drawing with a bar of 500 mm.
func (c *canvas) figure(title string) figure {
	size := r2.Scale(1/c.scale, r2.Sub(c.window.Max, c.window.Min))
	w, h := max(size.X, 500/c.scale+30)+2*inset, size.Y+2*inset+8
	a := r2.Vec{X: inset, Y: h - 4}
	b := r2.Vec{X: inset + 500/c.scale, Y: h - 4}
	for _, end := range [2]r2.Vec{a, b} {
		c.line(r2.Vec{X: end.X, Y: end.Y - 1}, r2.Vec{X: end.X, Y: end.Y + 1}, "still")
	}
	c.line(a, b, "still")
	c.label(r2.Vec{X: b.X + 10, Y: h - 4}, "500 mm")
	return figure{Title: title, Scale: fmt.Sprintf("1:%.0f", c.scale), SVG: template.HTML(fmt.Sprintf(
		"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%.1fmm\" height=\"%.1fmm\" viewBox=\"0 0 %.1f %.1f\">\n%s</svg>", w, h, w, h, c.ink.String()))}
}

// figures are the plan, and of each machine and table that moved an elevation as
// seen from its front.
func (s *Sheet) figures() []figure {
	if s.OldScene == nil || s.NewScene == nil {
		return nil
	}
	out := []figure{s.plan()}
	for i := range s.Moves.Moves {
		m := &s.Moves.Moves[i]
		if m.Moved && len(m.Loose) == 0 && (m.Kind == fit.Enclosure || m.Kind == fit.Table) {
			out = append(out, s.elevation(m))
		}
	}
	return out
}

// furniture tells whether objects of the kind have an outline of their own.
func furniture(k fit.Kind) bool {
	return k != fit.Floor && k != fit.Ceiling && k != fit.Wall && k != scene.Remainder
}

func (s *Sheet) plan() figure {
	var shown []*scene.Object
	for _, from := range [2]*scene.Scene{s.OldScene, s.NewScene} {
		for i := range from.Objects {
			if furniture(from.Objects[i].Kind) {
				shown = append(shown, &from.Objects[i])
			}
		}
	}
	c := newCanvas(geom.Identity(), shown, r3.Vec{X: -150, Y: -150}, r3.Vec{X: 250, Y: 250})
	c.base()
	s.drawBoth(c, func(o *scene.Object) bool { return furniture(o.Kind) })
	return c.figure("Plan, base X to the right and Y up")
}

func (s *Sheet) elevation(m *moves.Move) figure {
	r := m.Datum.R
	view := geom.Pose{R: geom.RotFromAxes(r3.Scale(-1, r.Axis(1)), r.Axis(2), r3.Scale(-1, r.Axis(0))), T: m.Datum.T}
	of := func(o *scene.Object) bool {
		return furniture(o.Kind) && (o.Name == m.Name || o.Inside == m.Name)
	}
	var shown []*scene.Object
	for _, from := range [2]*scene.Scene{s.OldScene, s.NewScene} {
		for i := range from.Objects {
			if of(&from.Objects[i]) {
				shown = append(shown, &from.Objects[i])
			}
		}
	}
	c := newCanvas(view, shown)
	s.drawBoth(c, of)
	return c.figure(m.Name + ", elevation from its front")
}

// drawBoth draws what is still, what was where, dashed, and what is where.
func (s *Sheet) drawBoth(c *canvas, of func(*scene.Object) bool) {
	went := func(name string) bool {
		i := slices.IndexFunc(s.NewScene.Objects, func(o scene.Object) bool { return o.Name == name })
		return i < 0 || s.NewScene.Objects[i].Origin != scene.FromOld
	}
	for i := range s.OldScene.Objects {
		if o := &s.OldScene.Objects[i]; of(o) && went(o.Name) {
			c.draw(o, "old")
		}
	}
	for i := range s.NewScene.Objects {
		o := &s.NewScene.Objects[i]
		if !of(o) || o.Origin == scene.FromNew && s.known(o) {
			continue
		}
		pen := "new"
		if o.Origin == scene.FromOld {
			pen = "still"
		}
		c.draw(o, pen)
		if o.Kind == fit.Enclosure || o.Kind == fit.Table || o.Kind == fit.Vise && o.Origin == scene.OldMoved || o.Origin == scene.FromNew {
			c.label(c.middle(o), o.Name)
		}
	}
}

// known tells whether an object of the new map is, or stands in, one that the old
// map had seen more of, which is drawn where it went.
func (s *Sheet) known(o *scene.Object) bool {
	return slices.ContainsFunc(s.Moves.Moves, func(m moves.Move) bool {
		same := m.Kind == o.Kind && o.Name == m.Name+" ("+string(scene.FromNew)+")"
		return m.Moved && (same || o.Inside == m.Name)
	})
}

// middle of an object's outline on paper.
func (c *canvas) middle(o *scene.Object) r2.Vec {
	var all []r2.Vec
	for _, ring := range c.outlines(o) {
		all = append(all, ring...)
	}
	lo, hi := all[0], all[0]
	for _, q := range all {
		lo, hi = r2.Vec{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}, r2.Vec{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
	}
	return c.paper(r2.Scale(0.5, r2.Add(lo, hi)))
}

// base marks the base frame.
func (c *canvas) base() {
	at := c.paper(r2.Vec{})
	for _, axis := range [...]struct {
		to   r2.Vec
		name string
	}{{r2.Vec{X: 8}, "X"}, {r2.Vec{Y: -8}, "Y"}} {
		end := r2.Add(at, axis.to)
		c.line(at, end, "new")
		c.label(r2.Add(end, r2.Scale(0.3, axis.to)), axis.name)
	}
}

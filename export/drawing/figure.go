package drawing

import (
	"math"

	"cellwall/export/drawing/lines"
	"cellwall/export/drawing/paper"
	"cellwall/fit"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// figure is a view of some objects, brought to scale and put on the sheet.
type figure struct {
	view    view
	objects []*scene.Object
	window  r2.Box // what is shown, in the view's plane, mm of the cell
	scale   ratio
	origin  r2.Vec // where the view's origin comes to lie on the sheet, mm
	edges   []lines.Stroke
}

// extent is the window that holds all objects and the base's origin.
func extent(v view, objects []*scene.Object) r2.Box {
	var b r2.Box // the base's origin
	for _, o := range objects {
		for _, s := range o.Solids {
			for _, p := range s.Mesh(0).Vertices {
				b = include(b, flat(v.fromBase.Apply(p)))
			}
		}
	}
	return b
}

func include(b r2.Box, p r2.Vec) r2.Box {
	b.Min = r2.Vec{X: min(b.Min.X, p.X), Y: min(b.Min.Y, p.Y)}
	b.Max = r2.Vec{X: max(b.Max.X, p.X), Y: max(b.Max.Y, p.Y)}
	return b
}

func flat(v r3.Vec) r2.Vec { return r2.Vec{X: v.X, Y: v.Y} }

// size is what the figure takes of the sheet, mm.
func (f *figure) size(s ratio) r2.Vec { return r2.Scale(s.of(), r2.Sub(f.window.Max, f.window.Min)) }

// put fixes scale and place: the window's lower left corner comes to lie at
// corner.
func (f *figure) put(s ratio, corner r2.Vec) {
	f.scale = s
	f.origin = r2.Sub(corner, r2.Scale(s.of(), f.window.Min))
}

// at is where a point of the base frame comes to lie on the sheet.
func (f *figure) at(p r3.Vec) r2.Vec { return f.place(flat(f.view.fromBase.Apply(p))) }

func (f *figure) place(p r2.Vec) r2.Vec { return r2.Add(f.origin, r2.Scale(f.scale.of(), p)) }

// box is the window on the sheet.
func (f *figure) box() r2.Box { return r2.Box{Min: f.place(f.window.Min), Max: f.place(f.window.Max)} }

// How finely the edges are drawn, mm of paper: tested every so often, their
// ends found to a small part of a line's width, and things that touch within a
// narrow line's width not torn apart.
const (
	testStep = 2.0
	testFine = 0.05
	testLift = narrow
)

// trace works out the figure's visible and hidden edges.
func (f *figure) trace() [][]lines.Stroke {
	bodies := make([]lines.Body, len(f.objects))
	for i, o := range f.objects {
		bodies[i] = lines.Body{Solids: o.Solids, Hidden: f.view.hidden && o.Kind != scene.Remainder}
	}
	k := 1 / f.scale.of()
	found := lines.Project(bodies, f.view.fromBase, lines.Resolution{Step: k * testStep, Fine: k * testFine, Lift: k * testLift})
	perObject := make([][]lines.Stroke, len(f.objects))
	for _, s := range found {
		a, b, ok := clip(s.A, s.B, f.window)
		if !ok {
			continue
		}
		st := lines.Stroke{A: f.place(a), B: f.place(b), Rank: rank(f.objects[s.Body], s.Hidden)}
		perObject[s.Body] = append(perObject[s.Body], st)
		f.edges = append(f.edges, st)
	}
	f.edges = lines.Merge(f.edges, narrow/2)
	return perObject
}

func rank(o *scene.Object, hidden bool) int {
	switch {
	case hidden:
		return hiddenEdge
	case o.Kind == fit.Vise:
		return viseEdge
	case o.Kind == scene.Remainder:
		return remainderEdge
	}
	return visibleEdge
}

// draw puts the edges on the page.
func (f *figure) draw(p *paper.Page) {
	byPen := make([][][]r2.Vec, pens)
	for _, e := range f.edges {
		byPen[e.Rank] = append(byPen[e.Rank], squared(e, edgePens[e.Rank]))
	}
	for i := pens - 1; i >= 0; i-- {
		p.Stroke(edgePens[i], byPen[i]...)
	}
}

// squared lengthens a continuous line by half its width at both ends, so that
// lines that meet close their corner.
func squared(s lines.Stroke, pen paper.Pen) []r2.Vec {
	if pen.Dash != nil {
		return []r2.Vec{s.A, s.B}
	}
	d := r2.Scale(pen.Width/2, r2.Unit(r2.Sub(s.B, s.A)))
	return []r2.Vec{r2.Sub(s.A, d), r2.Add(s.B, d)}
}

// clip is the part of a b that lies in the window (Liang and Barsky, ACM TOG 3
// (1984) 1).
func clip(a, b r2.Vec, w r2.Box) (r2.Vec, r2.Vec, bool) {
	d := r2.Sub(b, a)
	from, to := 0.0, 1.0
	for _, side := range [4][2]float64{
		{-d.X, a.X - w.Min.X}, {d.X, w.Max.X - a.X}, {-d.Y, a.Y - w.Min.Y}, {d.Y, w.Max.Y - a.Y},
	} {
		p, q := side[0], side[1]
		switch {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			from = math.Max(from, q/p)
		case p > 0:
			to = math.Min(to, q/p)
		}
	}
	if from >= to {
		return a, b, false
	}
	return r2.Add(a, r2.Scale(from, d)), r2.Add(a, r2.Scale(to, d)), true
}

package drawing

import (
	"fmt"
	"math"
	"slices"

	"cellwall/export/drawing/paper"
	"cellwall/scene"
	"cellwall/scene/outline"
	"cellwall/scene/reach"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// ReachViews are those of a reach drawing: plan, front and side, as the drawings
// of the scene show them.
func ReachViews(s *scene.Scene) []reach.View {
	var out []reach.View
	for _, v := range reachViews(meshed(s)) {
		out = append(out, reach.View{Right: v.right(), Up: v.up()})
	}
	return out
}

func reachViews(s *scene.Scene) []view {
	p, _ := plans(s, keysOf(s))
	return []view{p, front(), side()}
}

// ReachFigure is what the drawings of a reach show over the scene. Outlines are
// one list of rings for each of ReachViews, nil where they are not shown.
type ReachFigure struct {
	Swept, Maximum, Restricted [][]outline.Ring
	Posture                    [][]outline.Ring // the arm where it comes nearest
	Nearest                    []Nearest
	Limits                     *reach.Extent // whose size is given; nil for none
	About                      string        // what is held against the scene
}

// Nearest is where the arm comes nearest to an object, base, mm.
type Nearest struct {
	OnArm, OnObject r3.Vec
	Text            string
	Hit             bool // they overlap: marked, with no length
}

// ReachSheets draws the reach over the scene.
func ReachSheets(s *scene.Scene, r *ReachFigure, t Title) ([]*paper.Page, error) {
	if t.Name == "" {
		t.Name = s.Cell
	}
	s = meshed(s)
	var out []*paper.Page
	views := reachViews(s)
	for i, v := range views {
		p, err := r.sheet(s, v, i, len(views), t)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

// sheet draws view i.
func (r *ReachFigure) sheet(s *scene.Scene, v view, i, of int, t Title) (*paper.Page, error) {
	v.hidden = false
	f, seen := compose(s, v)
	outlines := r.outlines(i)
	f.window = extent(v, furniture(f.objects))
	for _, o := range outlines {
		for _, ring := range o.rings {
			for _, p := range ring {
				f.window = include(f.window, p)
			}
		}
	}
	for _, n := range r.Nearest {
		f.window = include(include(f.window, flat(v.fromBase.Apply(n.OnArm))), flat(v.fromBase.Apply(n.OnObject)))
	}
	f.window = grown(f.window, surroundings/2)
	sizes := r.limits(v)
	scale, err := largest(func(q ratio) bool { return f.settle(q, sizes) })
	if err != nil {
		return nil, err
	}
	perObject := f.trace()
	sh := newSheet(v.file, "Reach: "+v.name, seen+". "+r.About, "Reach drawing", scale.String(), i+1, of, t)
	sh.explain(legendOf(outlines), "Clearances in mm to the solids as fitted, without margin; the outlines hold all that the arm takes up, to 10 mm.")
	sh.scaleBar(scale)
	sh.context(f)
	sh.Rect(thinPen, f.box())
	for _, o := range outlines {
		sh.rings(f, o)
	}
	sh.drawRows(f, append(rows(f, sizes, across), rows(f, sizes, upright)...))
	sh.frameAxes(f, identity, baseAxis, "base")
	sh.notLocated(s)
	left := sh.nearest(f, r.Nearest)
	sh.note(append(left, sh.drawLabels(labelsOf(f, perObject))...))
	return sh.Page, nil
}

// limits are the sizes of the maximum space that a view shows: how far out from
// the first joint's axis, where that stands upright in the view or is looked
// along, and how high over and how deep under the base's origin.
func (r *ReachFigure) limits(v view) []size {
	if r.Limits == nil {
		return nil
	}
	foot, along := r.Limits.Axis()
	s := r.Limits.Size()
	out := size{a: foot, b: r3.Add(foot, r3.Scale(s.Out, v.right())), along: across, text: fmt.Sprintf("from axis 1 at most %.0f", s.Out)}
	switch up := r3.Dot(along, v.up()); {
	case math.Abs(up) > 1-foreshortened:
		high := size{a: foot, b: r3.Add(foot, r3.Scale(s.High, along)), along: upright, text: fmt.Sprintf("over the base's origin at most %.0f", s.High)}
		low := size{a: foot, b: r3.Add(foot, r3.Scale(s.Low, along)), along: upright, text: fmt.Sprintf("below at most %.0f", -s.Low)}
		return []size{out, high, low}
	case math.Abs(r3.Dot(along, v.toward())) > 1-foreshortened:
		return []size{out}
	}
	return nil
}

// drawn is an outline with its pen.
type drawn struct {
	legendLine
	rings []outline.Ring
}

// outlines of view i, in the order in which they are drawn.
func (r *ReachFigure) outlines(i int) []drawn {
	var out []drawn
	add := func(pen paper.Pen, text string, rings [][]outline.Ring) {
		if rings != nil {
			out = append(out, drawn{legendLine{pen, text}, rings[i]})
		}
	}
	add(posturePen, "arm where it is nearest", r.Posture)
	add(outerPen, "maximum space", r.Maximum)
	add(innerPen, "restricted space", r.Restricted)
	add(sweptPen, "swept by the program", r.Swept)
	return out
}

func legendOf(outlines []drawn) []legendLine {
	var out []legendLine
	for _, o := range outlines {
		out = append(out, o.legendLine)
	}
	return append(out, legendLine{sizePen, "clearance, where it is least"})
}

// context draws the scene's edges thin: they are not what the sheet is about.
func (s *sheet) context(f *figure) {
	for _, e := range f.edges {
		s.Stroke(contextPens[e.Rank], squared(e, contextPens[e.Rank]))
		s.ink.line(e.A, e.B)
	}
}

// rings draws an outline, cut off at the window.
func (s *sheet) rings(f *figure, o drawn) {
	for _, ring := range o.rings {
		path := make([]r2.Vec, 0, len(ring)+1)
		for _, p := range append(slices.Clone(ring), ring[0]) {
			path = append(path, f.place(p))
		}
		s.Stroke(o.pen, path)
		for i := range len(path) - 1 {
			s.ink.line(path[i], path[i+1])
		}
	}
}

// nearest draws the clearances: as dimension lines where they are long enough on
// the sheet, else as a mark with a label. It returns those without room.
func (s *sheet) nearest(f *figure, all []Nearest) (left []string) {
	var labels []label
	for _, n := range all {
		a, b := f.at(n.OnArm), f.at(n.OnObject)
		if !n.Hit && r2.Norm(r2.Sub(b, a)) >= 2*arrow {
			s.dimensionLine(a, b, a, b, true)
			if s.straightLabel(a, b, n.Text) {
				continue
			}
		}
		s.datumMark(b)
		labels = append(labels, label{text: n.Text, anchors: []r2.Vec{b}})
	}
	return s.drawLabels(labels)
}

// straightLabel writes beside the line from a to b where that is long enough and
// the place is free.
func (s *sheet) straightLabel(a, b r2.Vec, text string) bool {
	if paper.Width(text, sizeText) > r2.Norm(r2.Sub(b, a))-2 {
		return false
	}
	t := straightText(a, b, r2.Vec{}, text)
	if _, free := s.ink.underText(t); !free {
		return false
	}
	s.sizeText(r2.Scale(0.5, r2.Add(a, b)), text, t.Turn)
	return true
}

// ClearanceText is how a clearance stands on a drawing and in a table: the least
// that was found, and what it is certainly not under.
func ClearanceText(least, bound float64) string {
	if least <= 0 {
		return fmt.Sprintf("overlap %.0f", -least)
	}
	return fmt.Sprintf("%.1f (nowhere under %.1f)", least, bound)
}

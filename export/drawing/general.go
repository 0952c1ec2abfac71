package drawing

import (
	"fmt"
	"strings"

	"cellwall/export/drawing/lines"
	"cellwall/export/drawing/paper"
	"cellwall/fit"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r2"
)

// general draws one view of the whole scene.
func general(s *scene.Scene, v view, keys []key, t Title, number, of int) (*paper.Page, error) {
	f, about := compose(s, v)
	sizes := sizesFor(v, keys)
	scale, cropped, err := f.frame(sizes)
	if err != nil {
		return nil, err
	}
	perObject := f.trace()
	if cropped {
		about += ". The room is cut off outside of what stands in it" + f.without(perObject)
	}
	hatched := v.cut && s.States != nil
	if hatched {
		about += ". Hatched where over half of the height in reach is unseen"
	}
	sh := newSheet(v.file, v.name, about, "General arrangement", scale.String(), number, of, t)
	sh.legend(true, hatched)
	sh.scaleBar(scale)
	sh.drawEdges(f)
	if cropped {
		sh.Rect(thinPen, f.box())
	}
	sh.notLocated(s)
	sh.drawRows(f, append(rows(f, sizes, across), rows(f, sizes, upright)...))
	sh.datums(f, s)
	noRoom := sh.drawStraight(f, sizes)
	sh.note(append(noRoom, sh.drawLabels(labelsOf(f, perObject))...))
	if hatched {
		sh.hatchUnseen(f, s.States.Columns().MostlyUnseen)
	}
	return sh.Page, nil
}

// compose chooses what a view shows, and says what it leaves out.
func compose(s *scene.Scene, v view) (*figure, string) {
	f := &figure{view: v}
	about := v.seen
	var without []string
	for i := range s.Objects {
		o := &s.Objects[i]
		switch {
		case v.leftOut(o):
			without = append(without, o.Name)
		case v.cut && o.Kind == fit.Enclosure && o.Opening != nil:
			f.objects = append(f.objects, cutOpen(o))
			about += ". " + o.Name + " is cut above its opening"
		default:
			f.objects = append(f.objects, o)
		}
	}
	if len(without) > 0 {
		about += ". Left out, for it stands before the rest: " + few(without)
	}
	return f, about
}

// without names the objects of which nothing comes to lie on the sheet.
func (f *figure) without(perObject [][]lines.Stroke) string {
	var names []string
	for i, o := range f.objects {
		if len(perObject[i]) == 0 {
			names = append(names, o.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return ", so without " + few(names)
}

// mostNames is how many names a heading has room for.
const mostNames = 6

// few joins names, and says how many more there are.
func few(names []string) string {
	if len(names) > mostNames {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:mostNames], ", "), len(names)-mostNames)
	}
	return strings.Join(names, ", ")
}

// cutOpen is an enclosure without what lies above its opening, so that the view
// from above shows what stands in it.
func cutOpen(o *scene.Object) *scene.Object {
	open := *o
	open.Solids = nil
	for _, p := range o.Solids {
		if !above(p, o) {
			open.Solids = append(open.Solids, p)
		}
	}
	return &open
}

// above tells whether a solid lies above the middle of the enclosure's opening.
func above(p solid.Solid, o *scene.Object) bool {
	return boundsIn(o.Pose, p).Min.Z > (o.Opening.ZMin+o.Opening.ZMax)/2
}

// drawEdges puts the figure's edges on the sheet.
func (s *sheet) drawEdges(f *figure) {
	f.draw(s.Page)
	for _, e := range f.edges {
		s.ink.line(e.A, e.B)
	}
}

// datums marks the base's frame and the jaws' datums.
func (s *sheet) datums(f *figure, sc *scene.Scene) {
	for i := range sc.Objects {
		if o := &sc.Objects[i]; o.Kind == fit.Vise {
			s.datumMark(f.at(o.Pose.T))
		}
	}
	s.frameAxes(f, identity, baseAxis, "base")
}

// labelsOf names every object that the figure shows.
func labelsOf(f *figure, perObject [][]lines.Stroke) []label {
	var out []label
	for i, o := range f.objects {
		if a := anchorsOf(perObject[i]); len(a) > 0 {
			out = append(out, label{text: o.Name, anchors: a})
		}
	}
	return out
}

// notLocated names, at the head of the field, what was looked for and is
// missing from the drawing.
func (s *sheet) notLocated(sc *scene.Scene) {
	if len(sc.NotLocated) == 0 {
		return
	}
	var names []string
	for _, r := range sc.NotLocated {
		names = append(names, r.Name)
	}
	t := paper.Text{
		At: r2.Vec{X: field.Min.X + 4, Y: field.Max.Y - 5}, Height: paper.Medium, Color: black,
		S: paper.Fit("Not located, so not drawn, though it may stand there: "+strings.Join(names, ", "), paper.Medium, field.Max.X-field.Min.X-8),
	}
	s.Text(t)
	s.ink.take(t.Box())
}

// note says which sizes and labels found no place.
func (s *sheet) note(left []string) {
	if len(left) == 0 {
		return
	}
	text := "No room on this sheet for: " + strings.Join(left, ", ")
	s.write(field.Min.X+4, field.Min.Y+2.5, paper.Fit(text, paper.Small, field.Max.X-field.Min.X-8), paper.Small)
}

package drawing

import (
	"cmp"
	"math"
	"slices"

	"cellwall/export/drawing/paper"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// measured says along what a size is taken in a view.
type measured int

const (
	across   measured = iota // horizontally on the sheet
	upright                  // vertically on the sheet
	straight                 // from point to point
)

// size is a dimension to be drawn (ISO 129-1).
type size struct {
	a, b  r3.Vec // base, mm
	along measured
	away  r3.Vec // of a straight size: the side on which its line may stand
	text  string
}

// Dimension lines, mm: from the view to the first, from one to the next, what an
// extension line leaves free and overshoots, and the arrowheads.
const (
	firstRow  = 10.
	nextRow   = 7.
	standOff  = 1.
	overshoot = 2.
	arrow     = 3.5
	sizeText  = paper.Small
)

// laid is a size across or upright with its row outside the view. Its span and
// the whole it takes, with the text, run along the row.
type laid struct {
	size
	row              int
	from, to         float64 // feet of the extension lines
	textAt           float64 // middle of the text
	least, most      float64
	footFrom, footTo r2.Vec
}

// rows deals the sizes of one direction out to rows, the short ones nearest to
// the view, so that none is in another's way.
func rows(f *figure, sizes []size, along measured) []laid {
	var out []laid
	for _, s := range sizes {
		if s.along == along {
			out = append(out, f.lay(s))
		}
	}
	slices.SortStableFunc(out, func(a, b laid) int { return cmp.Compare(a.to-a.from, b.to-b.from) })
	for i := range out {
		for taken := true; taken; {
			taken = slices.ContainsFunc(out[:i], func(o laid) bool {
				return o.row == out[i].row && o.least < out[i].most+2 && out[i].least < o.most+2
			})
			if taken {
				out[i].row++
			}
		}
	}
	return out
}

func (f *figure) lay(s size) laid {
	l := laid{size: s, footFrom: f.at(s.a), footTo: f.at(s.b)}
	l.from, l.to = l.footFrom.X, l.footTo.X
	if s.along == upright {
		l.from, l.to = l.footFrom.Y, l.footTo.Y
	}
	if l.from > l.to {
		l.from, l.to = l.to, l.from
		l.footFrom, l.footTo = l.footTo, l.footFrom
	}
	w := paper.Width(s.text, sizeText)
	l.least, l.most, l.textAt = l.from, l.to, (l.from+l.to)/2
	if w+2*arrow+2 > l.to-l.from { // beside the arrows, which point inward
		l.least, l.textAt = l.from-2*arrow, l.to+2*arrow+1+w/2
		l.most = l.textAt + w/2
	}
	return l
}

// depth is how much room the rows take beside the view, mm.
func depth(l []laid) float64 {
	if len(l) == 0 {
		return 0
	}
	most := 0
	for _, s := range l {
		most = max(most, s.row)
	}
	return firstRow + nextRow*float64(most) + sizeText + overshoot
}

// drawRows puts the sizes below or to the left of the view.
func (s *sheet) drawRows(f *figure, all []laid) {
	for _, l := range all {
		place := f.rowPlace(l)
		s.dimensionLine(place(l.from), place(l.to), place(l.least), place(l.most), l.inside())
		s.extension(l.footFrom, place(l.from))
		s.extension(l.footTo, place(l.to))
	}
	for _, l := range all {
		turn := 0.0
		if l.along == upright {
			turn = math.Pi / 2
		}
		s.sizeText(f.rowPlace(l)(l.textAt), l.text, turn)
	}
}

func (l laid) inside() bool { return l.least == l.from }

// rowPlace maps a place along the row to the sheet.
func (f *figure) rowPlace(l laid) func(float64) r2.Vec {
	off := firstRow + nextRow*float64(l.row)
	if l.along == upright {
		return func(v float64) r2.Vec { return r2.Vec{X: f.box().Min.X - off, Y: v} }
	}
	return func(v float64) r2.Vec { return r2.Vec{X: v, Y: f.box().Min.Y - off} }
}

// dimensionLine runs from a to b with an arrowhead at either end; inside says
// on which side of the ends they stand. It starts at least and ends at most.
func (s *sheet) dimensionLine(a, b, least, most r2.Vec, inside bool) {
	s.stroke(sizePen, least, most)
	if r2.Norm(r2.Sub(b, a)) == 0 {
		return
	}
	u := r2.Unit(r2.Sub(b, a))
	if !inside {
		u = r2.Scale(-1, u)
	}
	s.arrowhead(sizePen, a, u)
	s.arrowhead(sizePen, b, r2.Scale(-1, u))
}

// arrowhead has its tip at p and stretches along u.
func (s *sheet) arrowhead(pen paper.Pen, p, u r2.Vec) {
	side := r2.Scale(arrow*math.Tan(math.Pi/18), r2.Vec{X: -u.Y, Y: u.X}) // 20 degrees in all
	foot := r2.Add(p, r2.Scale(arrow, u))
	s.Fill(pen.Color, p, r2.Add(foot, side), r2.Sub(foot, side))
}

// extension leads from a point of the view to the end of a dimension line.
func (s *sheet) extension(from, to r2.Vec) {
	d := r2.Sub(to, from)
	l := r2.Norm(d)
	if l <= standOff {
		return
	}
	u := r2.Scale(1/l, d)
	s.stroke(sizePen, r2.Add(from, r2.Scale(standOff, u)), r2.Add(to, r2.Scale(overshoot, u)))
}

// sizeText stands with its middle a little above the dimension line at p.
func (s *sheet) sizeText(p r2.Vec, text string, turn float64) {
	si, co := math.Sincos(turn)
	at := r2.Add(p, r2.Scale(aboveLine, r2.Vec{X: -si, Y: co}))
	t := paper.Text{At: at, S: text, Height: sizeText, Align: paper.Centre, Turn: turn, Color: black}
	s.clear(t)
	s.Text(t)
	s.ink.takeText(t)
}

const aboveLine = 1.

// clear paints white under a text, so that the lines it crosses break.
func (s *sheet) clear(t paper.Text) {
	w := paper.Width(t.S, t.Height)
	x := -float64(t.Align) * w
	var path []r2.Vec
	for _, c := range []r2.Vec{{X: x - .5, Y: -.4}, {X: x + w + .5, Y: -.4}, {X: x + w + .5, Y: t.Height + .4}, {X: x - .5, Y: t.Height + .4}} {
		path = append(path, r2.Add(t.At, r2.Rotate(c, t.Turn, r2.Vec{})))
	}
	s.Fill(white, path...)
}

// stroke draws a line and remembers it.
func (s *sheet) stroke(pen paper.Pen, a, b r2.Vec) {
	s.Line(pen, a, b)
	s.ink.line(a, b)
}

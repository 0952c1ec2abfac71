package drawing

import (
	"cmp"
	"math"
	"slices"

	"cellwall/export/drawing/lines"
	"cellwall/export/drawing/paper"

	"gonum.org/v1/gonum/spatial/r2"
)

// label names an object: a text and the points of its lines that a leader may
// end on.
type label struct {
	text    string
	anchors []r2.Vec
}

// anchorsOf takes the middles of an object's longest lines, visible ones
// first.
func anchorsOf(edges []lines.Stroke) []r2.Vec {
	const most = 6
	sorted := slices.Clone(edges)
	slices.SortStableFunc(sorted, func(a, b lines.Stroke) int {
		return cmp.Or(cmp.Compare(a.Rank, b.Rank), cmp.Compare(r2.Norm(r2.Sub(b.B, b.A)), r2.Norm(r2.Sub(a.B, a.A))))
	})
	var out []r2.Vec
	for _, e := range sorted[:min(len(sorted), most)] {
		for _, part := range []float64{0.5, 0.25, 0.75} {
			out = append(out, r2.Add(e.A, r2.Scale(part, r2.Sub(e.B, e.A))))
		}
	}
	return out
}

// labelled is where a label stands.
type labelled struct {
	text   paper.Text
	width  float64
	anchor r2.Vec
}

// box is what the label takes, with some air round it.
func (l labelled) box() r2.Box {
	x := l.text.At.X - float64(l.text.Align)*l.width
	y := l.text.At.Y
	return r2.NewBox(x-1, y-1.5, x+l.width+1, y+paper.Medium+0.5)
}

// What a label costs, so that the least covers nothing, stands near and has a
// leader that crosses nothing. Each is worth so many mm of distance.
const (
	costOfLineUnder   = 6.
	costOfLineCrossed = 2.
	costOfLetters     = 100. // a leader that runs under another label
)

// drawLabels puts every label where it disturbs least, one after the other; a
// label for which no place is free is not drawn, and its text returned.
func (s *sheet) drawLabels(labels []label) (left []string) {
	var put []labelled
	for _, l := range labels {
		p, ok := s.settle(l)
		if !ok {
			left = append(left, l.text)
			continue
		}
		put = append(put, p)
		s.ink.take(p.box())
		s.ink.line(p.anchor, p.near())
	}
	for _, p := range put {
		near := p.near()
		s.Line(thinPen, p.anchor, near)
		s.arrowhead(thinPen, p.anchor, r2.Unit(r2.Sub(near, p.anchor)))
	}
	for _, p := range put {
		s.clear(p.text)
		s.Text(p.text)
	}
	return left
}

// rings are the distances from an anchor at which a label is tried, mm.
var rings = []float64{8, 11, 15, 20, 26, 33, 42, 54}

// settle finds the place that costs least, on rings round the anchors.
func (s *sheet) settle(l label) (labelled, bool) {
	best, least := labelled{}, math.Inf(1)
	width := paper.Width(l.text, paper.Medium)
	for _, r := range rings {
		if r >= least { // the distance alone costs more
			break
		}
		for _, a := range l.anchors {
			for k := range 24 {
				si, co := math.Sincos(2 * math.Pi * float64(k) / 24)
				p := labelled{text: beside(r2.Add(a, r2.Vec{X: r * co, Y: r * si}), co, l.text), width: width, anchor: a}
				if c := r + s.cost(p); c < least {
					best, least = p, c
				}
			}
		}
	}
	return best, !math.IsInf(least, 1)
}

// beside puts the text to the left or right of the leader's end.
func beside(p r2.Vec, toRight float64, text string) paper.Text {
	align := paper.Left
	if toRight < 0 {
		align = paper.Right
	}
	return paper.Text{At: r2.Vec{X: p.X, Y: p.Y - paper.Medium/2}, S: text, Height: paper.Medium, Align: align, Color: black}
}

func (s *sheet) cost(p labelled) float64 {
	lines, free := s.ink.under(p.box())
	if !free {
		return math.Inf(1)
	}
	crossed, letters := s.ink.crossed(p.anchor, p.near())
	cost := costOfLineUnder*float64(lines) + costOfLineCrossed*float64(crossed)
	if letters {
		cost += costOfLetters
	}
	return cost
}

// near is the end of the leader at the text.
func (l labelled) near() r2.Vec {
	gap := 1.
	if l.text.Align == paper.Right {
		gap = -gap
	}
	return r2.Vec{X: l.text.At.X - gap, Y: l.text.At.Y + paper.Medium/2}
}

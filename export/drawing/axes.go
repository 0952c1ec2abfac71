package drawing

import (
	"image/color"
	"math"

	"cellwall/export/drawing/paper"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// baseAxis is how long an axis is drawn, mm, and otherAxes how long else, where
// a letter at its end would stand on more of the drawing.
const baseAxis = 18.

var otherAxes = []float64{14, 22, 26}

// frameAxes draws the three axes of a frame: those that lie in the sheet as
// arrows, one toward the viewer as a ring with a point, one away from him as a
// ring with a cross.
func (s *sheet) frameAxes(f *figure, baseFromFrame geom.Pose, length float64, name string) {
	at := f.at(baseFromFrame.T)
	for i, c := range [3]color.NRGBA{vermillion, green, blue} {
		pen := paper.Pen{Width: narrow, Color: c}
		letter := string("XYZ"[i])
		v := f.view.fromBase.Apply(baseFromFrame.R.Axis(i))
		d := flat(v)
		l := r2.Norm(d)
		if l < 0.1 { // within six degrees of the line of sight
			s.endOn(pen, at, v.Z > 0, letter)
			continue
		}
		u := r2.Scale(1/l, d)
		tip := r2.Add(at, r2.Scale(s.clearest(at, d, length, letter), d))
		s.stroke(pen, at, tip)
		s.arrowhead(pen, tip, r2.Scale(-1, u))
		s.letter(r2.Add(tip, r2.Scale(2.5, u)), letter, c)
	}
	if name != "" {
		s.letter(r2.Add(at, r2.Vec{X: -4 - paper.Width(name, paper.Small)/2, Y: -4}), name, black)
	}
}

// clearest is the length of an axis along d at which its letter covers least.
func (s *sheet) clearest(at, d r2.Vec, usual float64, letter string) float64 {
	best, least := usual, math.MaxInt
	for _, length := range append([]float64{usual}, otherAxes...) {
		end := r2.Add(at, r2.Scale(length+2.5/r2.Norm(d), d))
		if n, free := s.ink.under(letterAt(end, letter).Box()); free && n < least {
			best, least = length, n
		}
	}
	return best
}

// letterAt is a short text with its middle at p.
func letterAt(p r2.Vec, text string) paper.Text {
	return paper.Text{At: r2.Vec{X: p.X, Y: p.Y - paper.Small/2}, S: text, Height: paper.Small, Align: paper.Centre}
}

// datumMark marks the origin of a datum that is too small for its axes.
func (s *sheet) datumMark(at r2.Vec) {
	const r, arm = 1.3, 2.6
	pen := paper.Pen{Width: narrow, Color: vermillion}
	s.Fill(white, circle(at, r)...)
	s.Stroke(pen, circle(at, r))
	s.stroke(pen, r2.Vec{X: at.X - arm, Y: at.Y}, r2.Vec{X: at.X + arm, Y: at.Y})
	s.stroke(pen, r2.Vec{X: at.X, Y: at.Y - arm}, r2.Vec{X: at.X, Y: at.Y + arm})
}

// endOn shows an axis that points at the viewer or away from him.
func (s *sheet) endOn(pen paper.Pen, at r2.Vec, toward bool, letter string) {
	const r = 1.8
	ring := circle(at, r)
	s.Fill(white, ring...)
	s.Stroke(pen, ring)
	if toward {
		s.Fill(pen.Color, circle(at, r/3)...)
	} else {
		d := r * math.Sqrt(0.5)
		s.Line(pen, r2.Vec{X: at.X - d, Y: at.Y - d}, r2.Vec{X: at.X + d, Y: at.Y + d})
		s.Line(pen, r2.Vec{X: at.X - d, Y: at.Y + d}, r2.Vec{X: at.X + d, Y: at.Y - d})
	}
	s.letter(r2.Add(at, r2.Vec{X: -3.6, Y: 3}), letter, pen.Color)
}

// letter writes a short text with its middle at p.
func (s *sheet) letter(p r2.Vec, text string, c color.NRGBA) {
	t := letterAt(p, text)
	t.Color = c
	s.clear(t)
	s.Text(t)
	s.ink.take(t.Box())
}

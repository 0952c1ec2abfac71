package drawing

import (
	"math"

	"cellwall/export/drawing/paper"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// straightOffsets are the distances from what is measured at which a dimension
// line is tried, mm; the negative ones lie on the far side.
var straightOffsets = []float64{8, 11, 14, 18, 22, 26, 31, 36, 42, -8, -11, -14, -18, -22}

// drawStraight puts sizes that run at an angle beside what they measure, each
// where it covers least. It returns those for which there is no room.
func (s *sheet) drawStraight(f *figure, sizes []size) (left []string) {
	for _, z := range sizes {
		if z.along != straight {
			continue
		}
		a, b := f.at(z.a), f.at(z.b)
		if r2.Norm(r2.Sub(b, a)) < 1 {
			continue // too small to show at this scale
		}
		if !s.straightSize(a, b, f.normal(a, b, z.away), z.text) {
			left = append(left, z.text)
		}
	}
	return left
}

// normal is the unit normal of a b on the side of away.
func (f *figure) normal(a, b r2.Vec, away r3.Vec) r2.Vec {
	u := r2.Unit(r2.Sub(b, a))
	n := r2.Vec{X: -u.Y, Y: u.X}
	if r2.Dot(n, flat(f.view.fromBase.Apply(away))) < 0 {
		return r2.Scale(-1, n)
	}
	return n
}

func (s *sheet) straightSize(a, b, n r2.Vec, text string) bool {
	best, least := 0.0, math.Inf(1)
	for _, d := range straightOffsets {
		lines, free := s.ink.underText(straightText(a, b, r2.Scale(d, n), text))
		crossed, letters := s.ink.crossed(r2.Add(a, r2.Scale(d, n)), r2.Add(b, r2.Scale(d, n)))
		cost := costOfLineUnder*float64(lines) + costOfLineCrossed*float64(crossed) + math.Abs(d)
		if free && !letters && cost < least {
			best, least = d, cost
		}
	}
	if best == 0 {
		return false
	}
	d := r2.Scale(best, n)
	from, to := r2.Add(a, d), r2.Add(b, d)
	u := r2.Unit(r2.Sub(b, a))
	if r2.Norm(r2.Sub(b, a)) < 3*arrow {
		s.dimensionLine(from, to, r2.Sub(from, r2.Scale(2*arrow, u)), r2.Add(to, r2.Scale(2*arrow, u)), false)
	} else {
		s.dimensionLine(from, to, from, to, true)
	}
	s.extension(a, from)
	s.extension(b, to)
	t := straightText(a, b, d, text)
	s.sizeText(r2.Scale(0.5, r2.Add(from, to)), text, t.Turn)
	return true
}

// leaning is how far upright lettering may lean back and still be read from the
// right, as lettering that stands quite upright is.
const leaning = 10 * math.Pi / 180

// straightText is the lettering of a size whose line runs from a+d to b+d, to be
// read from below or from the right.
func straightText(a, b, d r2.Vec, text string) paper.Text {
	v := r2.Sub(b, a)
	turn := math.Atan2(v.Y, v.X)
	if turn > math.Pi/2+leaning {
		turn -= math.Pi
	} else if turn <= -math.Pi/2+leaning {
		turn += math.Pi
	}
	si, co := math.Sincos(turn)
	mid := r2.Add(r2.Scale(0.5, r2.Add(a, b)), d)
	return paper.Text{
		At: r2.Add(mid, r2.Scale(aboveLine, r2.Vec{X: -si, Y: co})), S: text, Height: sizeText, Align: paper.Centre, Turn: turn, Color: black,
	}
}

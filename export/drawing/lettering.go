package drawing

import (
	"math"

	"cellwall/export/drawing/paper"

	"gonum.org/v1/gonum/spatial/r2"
)

// air is what is kept free round lettering, mm of paper: less, and two texts
// read as one.
const air = 1.

// footprint covers a text and its air with upright boxes: one where the text
// itself is upright, else one for every few letters, for the box round a long
// slanting text would take many times its room.
func footprint(t paper.Text) []r2.Box {
	w := paper.Width(t.S, t.Height)
	n := 1
	if square := math.Mod(math.Abs(t.Turn), math.Pi/2); min(square, math.Pi/2-square) > 1e-6 {
		n = max(1, int(math.Ceil(w/(2*t.Height))))
	}
	x := -float64(t.Align) * w
	out := make([]r2.Box, n)
	for i := range out {
		from, to := x+w*float64(i)/float64(n), x+w*float64(i+1)/float64(n)
		at := func(x, y float64) r2.Vec { return r2.Add(t.At, r2.Rotate(r2.Vec{X: x, Y: y}, t.Turn, r2.Vec{})) }
		b := r2.Box{Min: at(from, 0), Max: at(from, 0)}
		for _, c := range []r2.Vec{at(to, 0), at(from, t.Height), at(to, t.Height)} {
			b = include(b, c)
		}
		out[i] = grown(b, air)
	}
	return out
}

// takeText reserves a text's place.
func (k *ink) takeText(t paper.Text) {
	for _, b := range footprint(t) {
		k.take(b)
	}
}

// underText is how much line a text would cover, and whether its place is free.
func (k *ink) underText(t paper.Text) (lines int, free bool) {
	for _, b := range footprint(t) {
		n, ok := k.under(b)
		if !ok {
			return 0, false
		}
		lines += n
	}
	return lines, true
}

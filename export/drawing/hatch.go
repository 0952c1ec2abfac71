package drawing

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Hatching is of continuous narrow lines at 45 degrees, and left out round
// lettering (ISO 128-50, from memory).
const (
	hatchApart = 3.5 // from line to line, mm of paper
	hatchStep  = 0.5 // how finely its ends are found
)

// hatch draws lines within the box over all places of which inside tells so.
func (s *sheet) hatch(box r2.Box, inside func(p r2.Vec) bool) {
	along, across := r2.Vec{X: math.Sqrt2 / 2, Y: math.Sqrt2 / 2}, r2.Vec{X: math.Sqrt2 / 2, Y: -math.Sqrt2 / 2}
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range [4]r2.Vec{box.Min, box.Max, {X: box.Min.X, Y: box.Max.Y}, {X: box.Max.X, Y: box.Min.Y}} {
		low, high = min(low, r2.Dot(c, across)), max(high, r2.Dot(c, across))
	}
	var paths [][]r2.Vec
	middle := r2.Scale(r2.Dot(r2.Scale(0.5, r2.Add(box.Min, box.Max)), along), along)
	far := r2.Scale(r2.Norm(r2.Sub(box.Max, box.Min)), along)
	for k := math.Ceil(low / hatchApart); k*hatchApart <= high; k++ {
		at := r2.Add(middle, r2.Scale(k*hatchApart, across))
		if a, b, ok := clip(r2.Sub(at, far), r2.Add(at, far), box); ok {
			paths = append(paths, runs(a, b, inside)...)
		}
	}
	s.Stroke(hatchPen, paths...)
}

// runs are the pieces of the line from a to b that lie inside.
func runs(a, b r2.Vec, inside func(p r2.Vec) bool) (out [][]r2.Vec) {
	n := math.Ceil(r2.Norm(r2.Sub(b, a)) / hatchStep)
	begun := -1.0
	for i := 0.0; i <= n+1; i++ {
		p := r2.Add(a, r2.Scale(i/n, r2.Sub(b, a)))
		switch on := i <= n && inside(p); {
		case on && begun < 0:
			begun = i
		case !on && begun >= 0:
			if i-1 > begun {
				out = append(out, []r2.Vec{r2.Add(a, r2.Scale(begun/n, r2.Sub(b, a))), r2.Add(a, r2.Scale((i-1)/n, r2.Sub(b, a)))})
			}
			begun = -1
		}
	}
	return out
}

// hatchUnseen hatches a plan where more than half of the height that the arm can
// touch was never looked into, but for where lettering stands.
func (s *sheet) hatchUnseen(f *figure, unseen func(p r3.Vec) bool) {
	baseFromView := f.view.fromBase.T()
	s.hatch(f.box(), func(p r2.Vec) bool {
		if _, free := s.ink.under(r2.NewBox(p.X-hatchStep, p.Y-hatchStep, p.X+hatchStep, p.Y+hatchStep)); !free {
			return false
		}
		q := r2.Scale(1/f.scale.of(), r2.Sub(p, f.origin))
		return unseen(baseFromView.Apply(r3.Vec{X: q.X, Y: q.Y}))
	})
}

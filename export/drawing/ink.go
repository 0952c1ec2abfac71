package drawing

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// ink remembers what stands where on a sheet, in cells of a millimetre, so that
// lettering finds a free place.
type ink struct {
	width, height int
	lines         []uint8 // how many lines run through a cell, up to 255
	taken         []bool  // by lettering, or outside of where lettering may stand
}

func newInk(width, height float64) *ink {
	w, h := int(math.Ceil(width)), int(math.Ceil(height))
	return &ink{width: w, height: h, lines: make([]uint8, w*h), taken: make([]bool, w*h)}
}

// line records a straight line.
func (k *ink) line(a, b r2.Vec) {
	n := max(1, int(2*r2.Norm(r2.Sub(b, a)))) // twice a cell
	last := -1
	for i := range n + 1 {
		p := r2.Add(a, r2.Scale(float64(i)/float64(n), r2.Sub(b, a)))
		c := k.cell(p)
		if c >= 0 && c != last && k.lines[c] < math.MaxUint8 {
			k.lines[c]++
		}
		last = c
	}
}

func (k *ink) cell(p r2.Vec) int {
	x, y := int(math.Floor(p.X)), int(math.Floor(p.Y))
	if x < 0 || y < 0 || x >= k.width || y >= k.height {
		return -1
	}
	return y*k.width + x
}

// take reserves a box.
func (k *ink) take(b r2.Box) {
	k.each(b, func(c int) { k.taken[c] = true })
}

// under is how much line a box covers, and whether it is free of lettering and
// on the sheet.
func (k *ink) under(b r2.Box) (lines int, free bool) {
	if k.cell(b.Min) < 0 || k.cell(b.Max) < 0 {
		return 0, false
	}
	free = true
	k.each(b, func(c int) {
		lines += int(k.lines[c])
		free = free && !k.taken[c]
	})
	return lines, free
}

// crossed is how many lines and letters lie along a line.
func (k *ink) crossed(a, b r2.Vec) (lines int, letters bool) {
	n := max(1, int(r2.Norm(r2.Sub(b, a))))
	for i := 1; i < n; i++ {
		c := k.cell(r2.Add(a, r2.Scale(float64(i)/float64(n), r2.Sub(b, a))))
		if c >= 0 {
			lines += int(k.lines[c])
			letters = letters || k.taken[c]
		}
	}
	return lines, letters
}

// each calls do for every cell that the box touches.
func (k *ink) each(b r2.Box, do func(int)) {
	for y := max(0, int(math.Floor(b.Min.Y))); y <= min(k.height-1, int(math.Floor(b.Max.Y))); y++ {
		for x := max(0, int(math.Floor(b.Min.X))); x <= min(k.width-1, int(math.Floor(b.Max.X))); x++ {
			do(y*k.width + x)
		}
	}
}

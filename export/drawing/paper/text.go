package paper

import (
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/vg"
)

// Lettering heights of ISO 3098-1, that of a capital letter, mm.
const (
	Small  = 2.5
	Medium = 3.5
	Large  = 5
)

// Align says which point of a text At is.
type Align float64

// The part of the text's width that lies left of At.
const (
	Left   Align = 0
	Centre Align = 0.5
	Right  Align = 1
)

// Text is one line of lettering. At lies on the base line; Height is that of a
// capital letter; Turn is counter-clockwise about At, rad.
type Text struct {
	At     r2.Vec
	S      string
	Height float64
	Align  Align
	Turn   float64
	Color  color.NRGBA
}

// capHeight is that of the typeface's capitals in ems: 1409 of 2048 units.
const capHeight = 1409. / 2048

// descent is how far letters reach below the base line, in heights of a
// capital: 434 of 1409 units.
const descent = 434. / 1409

var typeface = liberation.Collection()

var faces = font.NewCache(typeface)

// face is the typeface at the size at which its capitals are height mm high.
func face(height float64) font.Face {
	f := font.Font{Typeface: "Liberation", Variant: "Sans"}
	return faces.Lookup(f, vg.Length(height/capHeight)*vg.Millimeter)
}

// Width is the length of a line of lettering, mm.
func Width(s string, height float64) float64 {
	f := face(height)
	return float64(f.Width(s) / vg.Millimeter)
}

// Box is the upright rectangle that holds the text, mm.
func (t Text) Box() r2.Box {
	w := Width(t.S, t.Height)
	x := -float64(t.Align) * w
	low, high := -descent*t.Height, t.Height
	b := r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	for _, c := range []r2.Vec{{X: x, Y: low}, {X: x + w, Y: low}, {X: x + w, Y: high}, {X: x, Y: high}} {
		c = r2.Add(t.At, r2.Rotate(c, t.Turn, r2.Vec{}))
		b.Min = r2.Vec{X: min(b.Min.X, c.X), Y: min(b.Min.Y, c.Y)}
		b.Max = r2.Vec{X: max(b.Max.X, c.X), Y: max(b.Max.Y, c.Y)}
	}
	return b
}

// Wrap breaks s into lines no wider than width mm.
func Wrap(s string, height, width float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		longer := word
		if line != "" {
			longer = line + " " + word
		}
		if line != "" && Width(longer, height) > width {
			lines = append(lines, line)
			longer = word
		}
		line = longer
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// Fit shortens s with an ellipsis until it is no wider than width mm.
func Fit(s string, height, width float64) string {
	if Width(s, height) <= width {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && Width(string(r)+"…", height) > width {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

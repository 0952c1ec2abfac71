// Package dxf writes a plan of a scene as DXF, release 2000: seen along -Z of the
// base, in mm, X to the right and Y up as in the base frame, one layer an object.
package dxf

import (
	"fmt"
	"io"
	"math"

	"cellwall/export/caution"
	"cellwall/export/extent"
	"cellwall/export/mesh"
	"cellwall/export/value"
	"cellwall/fit"
	"cellwall/mapping/geom/flat"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Sizes in the plan, mm: lettering of 2.5 mm (ISO 3098) when it is printed
// 1:20, and a datum's axes long enough to be seen beside it.
const (
	textHeight = 50
	axisLength = 150
	lineFeed   = 1.6 * textHeight
)

// notes is the layer of what is written below the plan.
const notes = "notes"

// Write draws each solid's outline in plan, in the given extent, the axes of
// each datum and its name on the object's layer, and below them what the plan is
// and what it does not show. Layers are called as an object's STL file is.
func Write(w io.Writer, s *scene.Scene, e extent.Extent) error {
	p := plan{file: newFile()}
	wanted := []string{"0", notes}
	for i := range s.Objects {
		wanted = append(wanted, s.Objects[i].Name)
	}
	layers := append(wanted[:2:2], mesh.FileNames(wanted)[2:]...)
	for i, name := range layers {
		colour := white
		if i >= 2 {
			colour = colourOf(s.Objects[i-2].Kind)
		}
		p.Layers = append(p.Layers, layer{Name: name, Handle: p.handle(), Colour: colour})
	}
	p.grow(r2.Vec{}) // the base is in every plan
	for i := range s.Objects {
		p.object(&s.Objects[i], layers[i+2], e)
	}
	p.notes(s, e)
	return p.write(w)
}

// Colours of the format's index.
const (
	red   = 1
	white = 7 // black on white paper
	grey  = 8
)

// colourOf sets the vise off, and what no object explains back.
func colourOf(k fit.Kind) int {
	switch k {
	case fit.Vise:
		return red
	case scene.Remainder:
		return grey
	}
	return white
}

// plan is a file that knows how far it reaches.
type plan struct {
	*file
	drawn bool
}

// grow takes p into the plan's extent.
func (p *plan) grow(at r2.Vec) {
	if !p.drawn {
		p.Min, p.Max, p.drawn = at, at, true
		return
	}
	p.Min = r2.Vec{X: min(p.Min.X, at.X), Y: min(p.Min.Y, at.Y)}
	p.Max = r2.Vec{X: max(p.Max.X, at.X), Y: max(p.Max.Y, at.Y)}
}

func (p *plan) object(o *scene.Object, layer string, e extent.Extent) {
	for _, x := range o.Solids {
		p.solid(x, e.Margin(o), layer)
	}
	if o.Kind == scene.Remainder {
		return
	}
	at := seen(o.Pose.T)
	for i := range 3 {
		p.line(at, seen(o.Pose.Apply(r3.Scale(axisLength, unit(i)))), layer)
	}
	p.text(r2.Add(at, r2.Vec{X: textHeight / 4, Y: textHeight / 4}), o.Name, layer)
}

// solid draws the outline of a convex solid: the hull of its corners in plan, or
// a circle for an upright cylinder.
func (p *plan) solid(x solid.Solid, margin float64, layer string) {
	if c, ok := x.(solid.Cylinder); ok && upright(c) {
		r := c.Radius + margin
		for _, d := range []float64{-r, r} {
			p.grow(r2.Add(seen(c.Centre), r2.Vec{X: d, Y: d}))
		}
		p.draw("CIRCLE", layer, "AcDbCircle", pair(10, c.Centre.X), pair(20, c.Centre.Y), pair(30, 0), pair(40, r))
		return
	}
	var corners []r2.Vec
	for _, v := range x.Mesh(margin).Vertices {
		corners = append(corners, seen(v))
		p.grow(seen(v))
	}
	ring := flat.Hull(corners)
	groups := []string{fmt.Sprintf("90 %d", len(ring)), "70 1"}
	for _, c := range ring {
		groups = append(groups, pair(10, c.X), pair(20, c.Y))
	}
	p.draw("LWPOLYLINE", layer, "AcDbPolyline", groups...)
}

// upright tells whether a cylinder shows as a circle to within the resolution of
// solids: its ends are shifted by no more than that.
func upright(c solid.Cylinder) bool {
	return c.Height*math.Hypot(c.Axis.X, c.Axis.Y) <= solid.Resolution
}

func (p *plan) line(a, b r2.Vec, layer string) {
	p.grow(b)
	p.draw("LINE", layer, "AcDbLine", pair(10, a.X), pair(20, a.Y), pair(30, 0), pair(11, b.X), pair(21, b.Y), pair(31, 0))
}

func (p *plan) text(at r2.Vec, words, layer string) {
	p.draw("TEXT", layer, "AcDbText", pair(10, at.X), pair(20, at.Y), pair(30, 0), pair(40, textHeight), "1 "+text(words), "100 AcDbText")
}

// notes say below the plan what it is, what is not in it, and the cautions.
func (p *plan) notes(s *scene.Scene, e extent.Extent) {
	lines := []string{
		fmt.Sprintf("cell %q: plan in the base frame, mm; %s; written by cellwall %s", s.Cell, e.Note(), scene.Version),
	}
	for _, r := range s.NotLocated {
		lines = append(lines, fmt.Sprintf("not located, so not drawn as such: %s (%s): %s", r.Name, r.Kind, r.Reason))
	}
	lines = append(lines, caution.Heading+":")
	lines = append(lines, caution.Sentences...)
	at := r2.Vec{X: p.Min.X, Y: p.Min.Y - 2*lineFeed}
	for _, l := range lines {
		p.text(at, l, notes)
		p.grow(at)
		at.Y -= lineFeed
	}
}

// seen from above.
func seen(v r3.Vec) r2.Vec { return r2.Vec{X: v.X, Y: v.Y} }

func unit(i int) r3.Vec { return [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}[i] }

// pair is a group of the format with a number, to a micrometre.
func pair(code int, v float64) string { return fmt.Sprintf("%d %s", code, value.Plain(v, 3)) }

package paper

import (
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/encoding/charmap"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// letter puts s on the canvas. A PDF's plain fonts know the letters of
// Windows-1252 only; a name with others is drawn by the outlines of its letters.
func (a *artist) letter(f font.Face, at vg.Point, s string) {
	if !a.latin {
		a.FillString(f, at, s)
		return
	}
	if b, err := charmap.Windows1252.NewEncoder().String(s); err == nil {
		a.FillString(f, at, b)
		return
	}
	a.Fill(outline(f, at, s))
}

// outline is the shape of the letters of s. A letter that the typeface lacks
// shows as its empty frame.
func outline(f font.Face, at vg.Point, s string) vg.Path {
	var buf sfnt.Buffer
	units := f.Face.UnitsPerEm()
	scale := f.Font.Size / vg.Length(units)
	var out vg.Path
	for _, r := range s {
		i, err := f.Face.GlyphIndex(&buf, r)
		if err != nil {
			continue
		}
		glyph, err := f.Face.LoadGlyph(&buf, i, fixed.I(int(units)), nil)
		if err == nil {
			out = append(out, contours(glyph, at, scale)...)
		}
		if w, err := f.Face.GlyphAdvance(&buf, i, fixed.I(int(units)), 0); err == nil {
			at.X += vg.Length(w.Round()) * scale
		}
	}
	return out
}

// contours is a glyph as a path; the font counts y downward.
func contours(glyph sfnt.Segments, at vg.Point, scale vg.Length) vg.Path {
	to := func(p fixed.Point26_6) vg.Point {
		return vg.Point{X: at.X + vg.Length(p.X)/64*scale, Y: at.Y - vg.Length(p.Y)/64*scale}
	}
	var out vg.Path
	for i, s := range glyph {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if i > 0 {
				out.Close()
			}
			out.Move(to(s.Args[0]))
		case sfnt.SegmentOpLineTo:
			out.Line(to(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			out.QuadTo(to(s.Args[0]), to(s.Args[1]))
		case sfnt.SegmentOpCubeTo:
			out.CubeTo(to(s.Args[0]), to(s.Args[1]), to(s.Args[2]))
		}
	}
	if len(glyph) > 0 {
		out.Close()
	}
	return out
}

package dxf

import (
	"bufio"
	"bytes"
	_ "embed"
	"fmt"
	"io"
	"strings"
	"text/template"

	"golang.org/x/text/encoding/charmap"
	"gonum.org/v1/gonum/spatial/r2"
)

// frame is all that a DXF file of release 2000 needs round its entities, one
// group a line: code, space, value.
//
//go:embed frame.txt
var frame string

var frameTemplate = template.Must(template.New("frame").Parse(frame))

// file is what the frame is filled with.
type file struct {
	Min, Max   r2.Vec // of all that is drawn, mm
	Layers     []layer
	Entities   []string // each some lines as in the frame
	TextHeight float64
	last       int // handle
}

type layer struct {
	Name, Handle string
	Colour       int // of the format's index, whose first are red 1 … white 7
}

// firstHandle lies above those of the frame.
const firstHandle = 0x100

func newFile() *file { return &file{last: firstHandle - 1, TextHeight: textHeight} }

// handle is a new one: each part of a file has its own, in hexadecimal.
func (f *file) handle() string {
	f.last++
	return fmt.Sprintf("%X", f.last)
}

// NextHandle is the first that is free.
func (f *file) NextHandle() string { return fmt.Sprintf("%X", f.last+1) }

// Middle of what is drawn, where a viewer looks first.
func (f *file) Middle() r2.Vec { return r2.Scale(0.5, r2.Add(f.Min, f.Max)) }

// ViewHeight shows all that is drawn in a window half as wide again as high.
func (f *file) ViewHeight() float64 {
	d := r2.Sub(f.Max, f.Min)
	return 1.1 * max(d.Y, d.X/1.5, textHeight)
}

// draw adds an entity on a layer; groups follow the entity's own subclass.
func (f *file) draw(kind, layer, subclass string, groups ...string) {
	lines := []string{"0 " + kind, "5 " + f.handle(), "330 11", "100 AcDbEntity", "8 " + layer, "100 " + subclass}
	f.Entities = append(f.Entities, strings.Join(append(lines, groups...), "\n"))
}

// write spells the file: a group's code on one line, its value on the next.
func (f *file) write(w io.Writer) error {
	var filled bytes.Buffer
	if err := frameTemplate.Execute(&filled, f); err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	for line := range strings.Lines(filled.String()) {
		code, value, _ := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		fmt.Fprintf(out, "%3s\n%s\n", code, value)
	}
	return out.Flush()
}

// text spells words in the file's code page, Windows-1252, with what that does
// not hold as \U+XXXX, and without line breaks and the doubled per cent signs
// that start a control code.
func text(s string) string {
	var b strings.Builder
	for _, r := range strings.ReplaceAll(s, "%%", "% %") {
		c, ok := charmap.Windows1252.EncodeRune(r)
		switch {
		case r < ' ':
			b.WriteByte(' ')
		case ok:
			b.WriteByte(c)
		case r <= 0xFFFF:
			fmt.Fprintf(&b, `\U+%04X`, r)
		default:
			b.WriteByte('?')
		}
	}
	return b.String()
}

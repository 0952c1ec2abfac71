package step

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf16"

	"gonum.org/v1/gonum/spatial/r3"
)

// ref is the number of an instance in the file.
type ref int

func (r ref) String() string { return "#" + strconv.Itoa(int(r)) }

// file gathers instances in the order in which they are made.
type file struct {
	instances []string
}

// add appends an instance, spelled as fmt.Sprintf would, and returns its number.
func (f *file) add(format string, a ...any) ref {
	f.instances = append(f.instances, fmt.Sprintf(format, a...))
	return ref(len(f.instances))
}

// write writes the exchange structure of ISO 10303-21. The time stamp is left
// empty: the same scene gives the same bytes.
func (f *file) write(w io.Writer, description []string, name, creator string) error {
	b := bufio.NewWriter(w)
	for i := range description {
		description[i] = text(description[i])
	}
	fmt.Fprintf(b, "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((%s),'2;1');\n", strings.Join(description, ","))
	fmt.Fprintf(b, "FILE_NAME(%s,'',(''),(''),%s,%s,'');\n", text(name), text(creator), text(creator))
	fmt.Fprintf(b, "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n")
	for i, line := range f.instances {
		fmt.Fprintf(b, "%v=%s;\n", ref(i+1), line)
	}
	fmt.Fprint(b, "ENDSEC;\nEND-ISO-10303-21;\n")
	return b.Flush()
}

// point, direction and placement are the geometry that the rest stands on.
func (f *file) point(p r3.Vec) ref { return f.add("CARTESIAN_POINT('',%s)", triple(p)) }

func (f *file) direction(d r3.Vec) ref { return f.add("DIRECTION('',%s)", triple(d)) }

// placement is a frame by its origin, its Z and its X.
func (f *file) placement(origin, z, x r3.Vec) ref {
	return f.add("AXIS2_PLACEMENT_3D('',%v,%v,%v)", f.point(origin), f.direction(z), f.direction(x))
}

func triple(v r3.Vec) string { return "(" + number(v.X) + "," + number(v.Y) + "," + number(v.Z) + ")" }

// decimals of a coordinate or a cosine: far finer than accuracy, so that a
// face's corners lie in its plane.
const decimals = 10

// number spells a number, which must have a decimal point.
func number(v float64) string {
	scale := math.Pow10(decimals)
	s := strconv.FormatFloat(math.Round(v*scale)/scale+0, 'f', -1, 64) // -0 + 0 is 0
	if !strings.Contains(s, ".") {
		s += "."
	}
	return s
}

// text quotes a string: apostrophe and backslash are doubled, and what is not
// ASCII is written in UTF-16 (ISO 10303-21, 6.4.3).
func text(s string) string {
	var b strings.Builder
	b.WriteByte('\'')
	for _, r := range s {
		switch {
		case r == '\'' || r == '\\':
			b.WriteRune(r)
			b.WriteRune(r)
		case r >= ' ' && r <= '~':
			b.WriteRune(r)
		default:
			b.WriteString(`\X2\`)
			for _, u := range utf16.Encode([]rune{r}) {
				fmt.Fprintf(&b, "%04X", u)
			}
			b.WriteString(`\X0\`)
		}
	}
	b.WriteByte('\'')
	return b.String()
}

// refs spells a list.
func refs(r []ref) string {
	words := make([]string, len(r))
	for i := range r {
		words[i] = r[i].String()
	}
	return "(" + strings.Join(words, ",") + ")"
}

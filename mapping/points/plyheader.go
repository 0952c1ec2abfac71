package points

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// The limits of a header: beyond them it is no header, and must cost no memory.
const (
	mostHeaderLines = 10_000
	mostCount       = 1 << 40 // points or faces: more than any disk holds
)

// plyHeader is the header of a PLY file (Turk, The PLY Polygon File Format,
// 1994).
type plyHeader struct {
	format   string
	elements []plyElement
}

type plyElement struct {
	name       string
	count      int64
	properties []plyProperty
}

// plyProperty is a number, or a list of numbers after their count.
type plyProperty struct {
	name  string
	kind  scalar
	count scalar // of a list; noScalar where this is one number
}

var plyScalars = map[string]scalar{
	"char": int8Scalar, "uchar": uint8Scalar, "short": int16Scalar, "ushort": uint16Scalar,
	"int": int32Scalar, "uint": uint32Scalar, "float": float32Scalar, "double": float64Scalar,
	"int8": int8Scalar, "uint8": uint8Scalar, "int16": int16Scalar, "uint16": uint16Scalar,
	"int32": int32Scalar, "uint32": uint32Scalar, "float32": float32Scalar, "float64": float64Scalar,
}

func isPLY(head []byte) bool {
	return len(head) > 3 && string(head[:3]) == "ply" && (head[3] == '\n' || head[3] == '\r')
}

// readPLYHeader reads up to and with end_header.
func readPLYHeader(s *source) (*plyHeader, error) {
	s.findLineEnd()
	line, err := s.readLine()
	if err != nil || string(bytes.TrimSpace(line)) != "ply" {
		return nil, s.fault("it does not begin with the line ply", "export the scan again as PLY, or give the file the ending of its format")
	}
	h := &plyHeader{}
	for range mostHeaderLines {
		line, err := s.readLine()
		if err == io.EOF {
			return nil, s.fault("the file ends within its header", "copy or export it again")
		} else if err != nil {
			return nil, err
		}
		words := strings.Fields(string(line))
		if len(words) == 0 || words[0] == "comment" || words[0] == "obj_info" {
			continue
		}
		if words[0] == "end_header" {
			return h, h.check(s)
		}
		if rule := h.take(words); rule != "" {
			return nil, s.faultHere(rule, "export the scan again as PLY 1.0")
		}
	}
	return nil, s.fault(fmt.Sprintf("its header does not end within %d lines", mostHeaderLines), "export the scan again")
}

// take reads one line of the header and returns the rule that it breaks.
func (h *plyHeader) take(words []string) (rule string) {
	switch {
	case words[0] == "format" && len(words) == 3:
		h.format = words[1]
		if words[2] != "1.0" {
			return fmt.Sprintf("PLY %s is not known, only 1.0", shorten(words[2]))
		}
		return ""
	case words[0] == "element" && len(words) == 3:
		n, err := strconv.ParseInt(words[2], 10, 64)
		if err != nil || n < 0 || n > mostCount {
			return fmt.Sprintf("%s is not a count", shorten(words[2]))
		}
		h.elements = append(h.elements, plyElement{name: words[1], count: n})
		return ""
	case words[0] == "property" && len(h.elements) == 0:
		return "a property stands before the first element"
	case words[0] == "property":
		e := &h.elements[len(h.elements)-1]
		p, rule := plyPropertyOf(words[1:])
		e.properties = append(e.properties, p)
		return rule
	}
	return fmt.Sprintf("%s is no line of a PLY header", shorten(strings.Join(words, " ")))
}

// plyPropertyOf reads what follows the word property.
func plyPropertyOf(words []string) (p plyProperty, rule string) {
	if len(words) == 4 && words[0] == "list" {
		p.count = plyScalars[words[1]]
		if p.count == noScalar || p.count >= float32Scalar {
			return p, fmt.Sprintf("%s is not the type of a count", shorten(words[1]))
		}
		words = words[2:]
	}
	if len(words) != 2 {
		return p, "a property needs a type and a name"
	}
	p.kind, p.name = plyScalars[words[0]], words[1]
	if p.kind == noScalar {
		return p, fmt.Sprintf("%s is not a type", shorten(words[0]))
	}
	return p, ""
}

// check looks at the header as a whole.
func (h *plyHeader) check(s *source) error {
	const remedy = "export the scan again as PLY 1.0"
	switch h.format {
	case "ascii", "binary_little_endian", "binary_big_endian":
	case "":
		return s.fault("its header has no format", remedy)
	default:
		return s.fault(fmt.Sprintf("the format %s is not known", shorten(h.format)), "write it as ascii, binary_little_endian or binary_big_endian")
	}
	switch v := h.vertex(); {
	case v < 0:
		return s.fault("it has no element vertex", remedy)
	case h.elements[v].count == 0:
		return s.fault("it holds no points", "export the scan again")
	}
	return nil
}

// vertex is the index of the element that holds the points, -1 where none does.
func (h *plyHeader) vertex() int {
	for i, e := range h.elements {
		if e.name == "vertex" {
			return i
		}
	}
	return -1
}

package points

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// pcdHeader is the header of a PCD 0.7 file. The entries stand in a fixed
// order (Point Cloud Library documentation, "The PCD file format").
type pcdHeader struct {
	fields []pcdField
	points int64
	data   string // ascii, binary or binary_compressed
}

// pcdField is a column, or count columns side by side.
type pcdField struct {
	name  string
	kind  scalar
	count int
}

var pcdEntries = []string{"VERSION", "FIELDS", "SIZE", "TYPE", "COUNT", "WIDTH", "HEIGHT", "VIEWPOINT", "POINTS", "DATA"}

var pcdScalars = map[string]scalar{
	"I1": int8Scalar, "I2": int16Scalar, "I4": int32Scalar, "I8": int64Scalar,
	"U1": uint8Scalar, "U2": uint16Scalar, "U4": uint32Scalar, "U8": uint64Scalar,
	"F4": float32Scalar, "F8": float64Scalar,
}

const pcdRemedy = "export the scan again as PCD 0.7"

func isPCD(head []byte) bool {
	for line := range strings.Lines(string(head)) {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "#") && strings.Contains(line, ".PCD") || strings.HasPrefix(line, "VERSION") {
			return true
		}
		if line != "" && line[0] != '#' {
			return false
		}
	}
	return false
}

// readPCDHeader reads up to and with the line DATA.
func readPCDHeader(s *source) (*pcdHeader, error) {
	s.findLineEnd()
	entries := map[string][]string{}
	for entries["DATA"] == nil {
		if s.line > mostHeaderLines {
			return nil, s.fault(fmt.Sprintf("its header does not end within %d lines", mostHeaderLines), pcdRemedy)
		}
		line, err := s.readLine()
		if err == io.EOF {
			return nil, s.fault("the file ends within its header: there is no line DATA", "copy or export it again")
		} else if err != nil {
			return nil, err
		}
		words := strings.Fields(string(line))
		if len(words) == 0 || words[0][0] == '#' {
			continue
		}
		if !slices.Contains(pcdEntries, words[0]) || len(words) < 2 {
			return nil, s.faultHere(fmt.Sprintf("%s is no line of a PCD header", shorten(strings.Join(words, " "))), pcdRemedy)
		}
		if entries[words[0]] != nil {
			return nil, s.faultHere(fmt.Sprintf("%s stands twice in the header", words[0]), pcdRemedy)
		}
		entries[words[0]] = words[1:]
	}
	h := &pcdHeader{}
	if rule := h.take(entries); rule != "" {
		return nil, s.fault(rule, pcdRemedy)
	}
	return h, nil
}

// take makes sense of the entries and returns the rule that they break.
func (h *pcdHeader) take(entries map[string][]string) (rule string) {
	for _, name := range pcdEntries {
		if entries[name] == nil && name != "COUNT" && name != "VIEWPOINT" {
			return "its header has no line " + name
		}
	}
	if v := entries["VERSION"][0]; v != "0.7" && v != ".7" {
		return fmt.Sprintf("PCD %s is not known, only 0.7", shorten(v))
	}
	if rule := h.takeFields(entries); rule != "" {
		return rule
	}
	var n [3]int64
	for i, name := range []string{"WIDTH", "HEIGHT", "POINTS"} {
		v, err := strconv.ParseInt(entries[name][0], 10, 64)
		if err != nil || v < 0 || v > mostCount {
			return fmt.Sprintf("%s %s is not a count", name, shorten(entries[name][0]))
		}
		n[i] = v
	}
	if n[0] != 0 && n[1] > mostCount/n[0] || n[0]*n[1] != n[2] {
		return fmt.Sprintf("WIDTH %d times HEIGHT %d is not POINTS %d", n[0], n[1], n[2])
	}
	h.points, h.data = n[2], entries["DATA"][0]
	switch h.data {
	case "ascii", "binary", "binary_compressed":
		return ""
	}
	return fmt.Sprintf("DATA %s is not known", shorten(h.data))
}

// takeFields reads FIELDS, SIZE, TYPE and COUNT.
func (h *pcdHeader) takeFields(entries map[string][]string) (rule string) {
	names := entries["FIELDS"]
	for _, name := range []string{"SIZE", "TYPE", "COUNT"} {
		if got := entries[name]; got != nil && len(got) != len(names) {
			return fmt.Sprintf("%s has %d values for %d FIELDS", name, len(got), len(names))
		}
	}
	for i, name := range names {
		f := pcdField{name: name, kind: pcdScalars[entries["TYPE"][i]+entries["SIZE"][i]], count: 1}
		if f.kind == noScalar {
			return fmt.Sprintf("the field %s of TYPE %s and SIZE %s is not known", shorten(name), shorten(entries["TYPE"][i]), shorten(entries["SIZE"][i]))
		}
		if counts := entries["COUNT"]; counts != nil {
			n, err := strconv.Atoi(counts[i])
			if err != nil || n < 1 || n > longestRecord {
				return fmt.Sprintf("COUNT %s of the field %s is not known", shorten(counts[i]), shorten(name))
			}
			f.count = n
		}
		if f.count > 1 && roleOf(name) != noRole {
			return fmt.Sprintf("the field %s has %d values for one point", shorten(name), f.count)
		}
		h.fields = append(h.fields, f)
	}
	return ""
}

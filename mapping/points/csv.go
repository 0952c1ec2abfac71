package points

import (
	"bytes"
	"io"
	"strings"
)

const headerRemedy = "put a first line that names the columns, such as x,y,z or x,y,z,t (t in seconds)"

// openCSV reads the header line of a text file: CSV, or XYZ with a header. A
// comma, semicolon, tab or white space may stand between columns. Lines that
// begin with # are comments, but the header itself may begin with one.
func openCSV(s *source) (Reader, error) {
	if head := s.peek(3); bytes.HasPrefix(head, []byte{0xff, 0xfe}) || bytes.HasPrefix(head, []byte{0xfe, 0xff}) {
		return nil, s.fault("it is text in UTF-16", "save it as plain text or UTF-8")
	} else if string(head) == "\xef\xbb\xbf" { // byte order mark of UTF-8
		if err := s.skip(3); err != nil {
			return nil, err
		}
	}
	s.findLineEnd()
	names, separator, err := readCSVHeader(s)
	if err != nil {
		return nil, err
	}
	c, err := findColumns(s, names)
	if err != nil {
		return nil, err
	}
	if s.rest() == 0 {
		return nil, s.fault("it holds no points", "export the scan again")
	}
	r := newRows(s, c, names, separator, -1)
	r.comments = true
	return r, nil
}

// readCSVHeader returns the names of the columns and what separates them.
func readCSVHeader(s *source) (names []string, separator byte, err error) {
	for {
		raw, err := s.readLine()
		if err == io.EOF {
			return nil, 0, s.fault("it has no line that names the columns x, y and z", headerRemedy)
		} else if err != nil {
			return nil, 0, err
		}
		line := strings.TrimSpace(string(raw))
		names, separator := splitHeader(strings.TrimLeft(line, "#/ "))
		if comment := strings.HasPrefix(line, "#"); line == "" || comment && !hasXYZ(names) {
			continue
		}
		if allNumbers(names) {
			return nil, 0, s.faultHere("the first line is numbers: which column is which is not said", headerRemedy)
		}
		return names, separator, nil
	}
}

// splitHeader splits a header at the separator that it uses.
func splitHeader(line string) (names []string, separator byte) {
	for _, separator := range []byte(";,\t") {
		if strings.IndexByte(line, separator) >= 0 {
			names := strings.Split(line, string(separator))
			for i, n := range names {
				names[i] = strings.Trim(strings.TrimSpace(n), `"`)
			}
			return names, separator
		}
	}
	return strings.Fields(line), ' '
}

// hasXYZ tells a header behind a comment sign from a comment.
func hasXYZ(names []string) bool {
	var seen [numRoles]bool
	for _, n := range names {
		if role := roleOf(n); role != noRole {
			seen[role] = true
		}
	}
	return seen[xRole] && seen[yRole] && seen[zRole]
}

func allNumbers(names []string) bool {
	for _, n := range names {
		if _, ok := parseNumber([]byte(n)); !ok {
			return false
		}
	}
	return len(names) > 0
}

package strict

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// Has tells whether the path, such as scans[2].motion, is in the file.
func (d *Doc) Has(path string) bool { return d.node(path) != nil }

// Numbers returns text, which is what was parsed, with numbers in place of
// those at the paths, and all else, comments and order, as it was. It is an
// error where one of the paths does not hold a number.
func (d *Doc) Numbers(text []byte, at map[string]string) ([]byte, error) {
	lines := strings.SplitAfter(string(text), "\n")
	byLine := map[int][]swap{}
	for path, number := range at {
		n := d.node(path)
		if n == nil {
			return nil, d.Fault(path, "there is no number to replace", "write it by hand: "+number)
		}
		t := n.GetToken()
		byLine[t.Position.Line] = append(byLine[t.Position.Line], swap{t.Position.Column, t.Value, number, path})
	}
	for line, swaps := range byLine {
		if line < 1 || line > len(lines) {
			return nil, d.Fault(swaps[0].path, "its place in the file is not plain", "write it by hand: "+swaps[0].to)
		}
		for _, s := range ordered(swaps) {
			changed, ok := s.in(lines[line-1])
			if !ok {
				return nil, d.Fault(s.path, "its place in the file is not plain", "write it by hand: "+s.to)
			}
			lines[line-1] = changed
		}
	}
	return []byte(strings.Join(lines, "")), nil
}

// swap puts to in the place of from, which starts at a column, counted in
// characters from 1.
type swap struct {
	column   int
	from, to string
	path     string
}

func (s swap) in(line string) (string, bool) {
	runes := []rune(line)
	start := s.column - 1
	end := start + len([]rune(s.from))
	if start < 0 || end > len(runes) || string(runes[start:end]) != s.from {
		return "", false
	}
	return string(runes[:start]) + s.to + string(runes[end:]), true
}

// ordered from the end of the line to its start, so that columns stay true.
func ordered(swaps []swap) []swap {
	for i := range swaps {
		for k := i; k > 0 && swaps[k].column > swaps[k-1].column; k-- {
			swaps[k], swaps[k-1] = swaps[k-1], swaps[k]
		}
	}
	return swaps
}

// node is what stands at the path; nil where nothing does.
func (d *Doc) node(path string) ast.Node {
	n := d.root
	for _, key := range strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' || r == ']' }) {
		switch at := n.(type) {
		case ast.MapNode:
			n = nil
			for it := at.MapRange(); it.Next(); {
				if k, ok := it.Key().(*ast.StringNode); ok && k.Value == key {
					n = it.Value()
				}
			}
		case *ast.SequenceNode:
			i, err := strconv.Atoi(key)
			if err != nil || i >= len(at.Values) {
				return nil
			}
			n = at.Values[i]
		default:
			return nil
		}
		if n == nil {
			return nil
		}
	}
	return n
}

// Insert returns text with entry, such as "latency_ms: 3", as the first key of
// the mapping at the path, in the manner in which that is written.
func (d *Doc) Insert(text []byte, path, entry string) ([]byte, error) {
	m, ok := d.node(path).(*ast.MappingNode)
	single, one := d.node(path).(*ast.MappingValueNode)
	lines := strings.SplitAfter(string(text), "\n")
	switch {
	case ok && m.IsFlowStyle:
		t := m.Start
		changed, found := swap{t.Position.Column, "{", "{" + entry + ", ", path}.in(lines[t.Position.Line-1])
		if !found {
			break
		}
		lines[t.Position.Line-1] = changed
		return []byte(strings.Join(lines, "")), nil
	case ok && len(m.Values) > 0:
		return before(lines, m.Values[0], entry), nil
	case one:
		return before(lines, single, entry), nil
	}
	return nil, d.Fault(path, fmt.Sprintf("there is no plain place for %q", entry), "write it by hand")
}

// before puts the entry on a line of its own before the key's, as far in.
func before(lines []string, first *ast.MappingValueNode, entry string) []byte {
	at := first.Key.GetToken().Position
	lines[at.Line-1] = strings.Repeat(" ", at.Column-1) + entry + "\n" + lines[at.Line-1]
	return []byte(strings.Join(lines, ""))
}

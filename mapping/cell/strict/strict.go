// Package strict decodes YAML without any leniency: every key must be known,
// every value of the right type and finite, and every fault names its line.
//
// It stands on the parser of goccy/go-yaml and walks the tree itself, because
// that library's own decoder, strict as it may be set, takes 1.5 for the integer
// 1 and "12" for a number, leaves a short list's rest at zero, and panics on a
// list that is too long for an array (v1.19.2).
package strict

import (
	"errors"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"cellwall/mapping/fault"
)

// The limits of a file that a person writes. The parser's time grows with the
// square of the depth.
const (
	longestFile = 1 << 18
	deepestNest = 32
)

// Doc is one YAML document and the line of every key in it.
type Doc struct {
	file  string
	root  ast.Node
	lines map[string]int // by path, such as scans[2].motion
}

// Parse reads text; file names it in messages. Every error is a *fault.Error.
func Parse(file string, text []byte) (*Doc, error) {
	d := &Doc{file: file, lines: map[string]int{}}
	if len(text) > longestFile {
		return nil, d.Fault("", fmt.Sprintf("it is longer than %d bytes", longestFile), "check that this is the right file")
	}
	tokens := lexer.Tokenize(string(text))
	if err := d.checkDepth(tokens); err != nil {
		return nil, err
	}
	tree, err := parser.Parse(tokens, 0)
	if err != nil {
		return nil, d.syntax(err)
	}
	switch {
	case len(tree.Docs) > 1:
		return nil, d.Fault("", fmt.Sprintf("it holds %d YAML documents", len(tree.Docs)), "leave one, without lines of ---")
	case len(tree.Docs) == 0 || tree.Docs[0].Body == nil:
		return nil, d.Fault("", "it is empty", "fill it in; cellwall new writes one with every key explained")
	}
	d.root = tree.Docs[0].Body
	return d, nil
}

// checkDepth counts open brackets, and dashes on one line; nesting by
// indentation costs its square in bytes, so the length of the file bounds it.
func (d *Doc) checkDepth(tokens token.Tokens) error {
	brackets, dashes, line := 0, 0, 0
	for _, t := range tokens {
		if t.Position.Line != line {
			line, dashes = t.Position.Line, 0
		}
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			brackets++
		case token.SequenceEndType, token.MappingEndType:
			brackets--
		case token.SequenceEntryType:
			dashes++
		}
		if max(brackets, dashes) > deepestNest {
			return d.at(t, "", fmt.Sprintf("values are nested more than %d deep", deepestNest), "write them less deep")
		}
	}
	return nil
}

// syntax turns the parser's error into a fault.
func (d *Doc) syntax(err error) error {
	var e yaml.Error
	if !errors.As(err, &e) {
		return d.Fault("", strings.SplitN(err.Error(), "\n", 2)[0], "mend the YAML")
	}
	return d.at(e.GetToken(), "", e.GetMessage(), "mend the YAML")
}

// Fault speaks of the key at the path where, such as scans[2].motion, or of the
// nearest that stands in the file.
func (d *Doc) Fault(where, rule, remedy string) *fault.Error {
	f := &fault.Error{File: d.file, Where: where, Rule: rule, Remedy: remedy}
	for path := where; path != "" && f.Line == 0; path = parent(path) {
		f.Line = d.lines[path]
	}
	return f
}

// Line is the line of the key at the path where, 0 where it is not in the file.
func (d *Doc) Line(where string) int { return d.lines[where] }

// at speaks of the place of a token.
func (d *Doc) at(t *token.Token, where, rule, remedy string) *fault.Error {
	f := &fault.Error{File: d.file, Where: where, Rule: rule, Remedy: remedy}
	if t != nil && t.Position != nil {
		f.Line = t.Position.Line
	}
	return f
}

// parent is the path without its last key or index.
func parent(path string) string {
	return path[:max(0, strings.LastIndexAny(path, ".["))]
}

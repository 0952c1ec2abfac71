// Package table reads small tables of named columns, such as touched points or
// taught ones, from CSV (RFC 4180) with a header line.
package table

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"cellwall/mapping/fault"
)

// Columns says which columns a table has: those it must have and those it may.
type Columns struct{ Must, May []string }

// Row is one line of a table.
type Row struct {
	File   string
	Line   int
	fields map[string]string
}

// mostRows keeps a wrong file from filling memory: nobody touches or teaches as
// many points.
const mostRows = 1_000_000

// Open reads the table at path. Every error is a *fault.Error.
func Open(path string, c Columns) ([]Row, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fault.OfOpening(path, err)
	}
	defer f.Close()
	return Read(path, f, c)
}

// Read reads a table; path is what errors call it.
func Read(path string, from io.Reader, c Columns) ([]Row, error) {
	r := csv.NewReader(from)
	r.TrimLeadingSpace = true
	r.Comment = '#'
	head, err := r.Read()
	if err != nil {
		return nil, broken(path, err)
	}
	for i := range head {
		head[i] = strings.TrimSpace(strings.TrimPrefix(head[i], "\ufeff")) // spreadsheets mark UTF-8 so
	}
	if err := c.check(path, head); err != nil {
		return nil, err
	}
	var out []Row
	for {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, broken(path, err)
		}
		line, _ := r.FieldPos(0)
		row := Row{File: path, Line: line, fields: map[string]string{}}
		for i, name := range head {
			row.fields[name] = strings.TrimSpace(fields[i])
		}
		if out = append(out, row); len(out) > mostRows {
			return nil, &fault.Error{File: path, Rule: fmt.Sprintf("it has more than %d rows", mostRows), Remedy: "name the table of points, not a scan"}
		}
	}
	if len(out) == 0 {
		return nil, &fault.Error{File: path, Rule: "it has no rows below its header", Remedy: "add a line for each point"}
	}
	return out, nil
}

// check holds the header against the columns.
func (c Columns) check(path string, head []string) error {
	all := "the columns are " + strings.Join(c.Must, ", ")
	if len(c.May) > 0 {
		all += " and, where wanted, " + strings.Join(c.May, ", ")
	}
	for _, name := range c.Must {
		if !slices.Contains(head, name) {
			return &fault.Error{File: path, Line: 1, Where: name, Rule: "the column is missing", Remedy: all}
		}
	}
	for i, name := range head {
		if !slices.Contains(c.Must, name) && !slices.Contains(c.May, name) {
			return &fault.Error{File: path, Line: 1, Where: name, Rule: "the column is not known", Remedy: all}
		}
		if slices.Contains(head[:i], name) {
			return &fault.Error{File: path, Line: 1, Where: name, Rule: "the column is there twice", Remedy: "keep one of them"}
		}
	}
	return nil
}

// broken is the error of a line that is not CSV.
func broken(path string, err error) error {
	f := &fault.Error{File: path, Rule: err.Error(), Remedy: "write it as CSV: a header line, commas between, as many fields in every line", Cause: err}
	var p *csv.ParseError
	switch {
	case errors.As(err, &p):
		f.Line, f.Rule = p.Line, p.Err.Error()
	case errors.Is(err, io.EOF):
		f.Rule = "it is empty"
	}
	return f
}

// Has tells whether the row has something in the column.
func (r Row) Has(column string) bool { return r.fields[column] != "" }

// Text is what stands in the column, "" where nothing does.
func (r Row) Text(column string) string { return r.fields[column] }

// Number is the column's finite number.
func (r Row) Number(column string) (float64, error) {
	v, err := strconv.ParseFloat(r.fields[column], 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, r.Wrong(column, fmt.Sprintf("%q is not a number", r.fields[column]), "write a decimal number with a point")
	}
	return v, nil
}

// Numbers are the numbers of several columns.
func (r Row) Numbers(columns ...string) ([]float64, error) {
	out := make([]float64, len(columns))
	for i, c := range columns {
		v, err := r.Number(c)
		if err != nil {
			return nil, err
		}
		out[i] = v
	}
	return out, nil
}

// Wrong is a fault in the row's column.
func (r Row) Wrong(column, rule, remedy string) error {
	return &fault.Error{File: r.File, Line: r.Line, Where: column, Rule: rule, Remedy: remedy}
}

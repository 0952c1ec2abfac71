// Package fault says what is wrong with an input file in the one form that
// every reader uses: which file, where in it, which rule is broken, and what
// the user can do about it.
package fault

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"
)

// Error is a fault in an input file. Commands end with exit status 2 on it.
type Error struct {
	File   string // as the user would name it
	Line   int    // from 1; 0 where no line is meant
	Byte   int64  // offset in a binary file; 0 where none is meant
	Where  string // the key, column or joint, such as scans[2].motion; may be empty
	Rule   string // what is wrong, with the values that show it
	Remedy string // what to do, as an imperative
	Cause  error  // the error underneath, if any
}

// Error is FILE:LINE: WHERE: RULE; REMEDY with what is known of these.
func (e *Error) Error() string {
	var s strings.Builder
	s.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&s, ":%d", e.Line)
	}
	s.WriteString(": ")
	if e.Byte > 0 {
		fmt.Fprintf(&s, "byte %d: ", e.Byte)
	}
	if e.Where != "" {
		s.WriteString(e.Where + ": ")
	}
	s.WriteString(e.Rule)
	if e.Remedy != "" {
		s.WriteString("; " + e.Remedy)
	}
	return s.String()
}

// Unwrap is the error underneath.
func (e *Error) Unwrap() error { return e.Cause }

// OfOpening turns the error of opening or reading file into a fault with a
// remedy.
func OfOpening(file string, err error) *Error {
	f := &Error{File: file, Rule: err.Error(), Remedy: "check the file and its disk", Cause: err}
	var p *fs.PathError
	if errors.As(err, &p) {
		f.Rule = p.Err.Error()
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		f.Rule, f.Remedy = "the file does not exist", "check its name and folder"
	case errors.Is(err, syscall.EISDIR):
		f.Rule, f.Remedy = "is a folder", "name a file"
	case errors.Is(err, syscall.ENOTDIR):
		f.Rule, f.Remedy = "the path goes through a file", "name the folder that holds it"
	case errors.Is(err, fs.ErrPermission):
		f.Rule, f.Remedy = "the file may not be read", "give yourself permission to read it"
	}
	return f
}

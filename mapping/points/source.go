package points

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"cellwall/mapping/fault"
)

// bufferSize is the reading buffer, which is also the longest line of text.
const bufferSize = 1 << 18

// source is the file behind a reader: its bytes in order, with the place and
// the line for messages.
type source struct {
	name string
	file *os.File
	size int64
	buf  *bufio.Reader
	at   int64 // bytes consumed
	line int   // lines consumed
	eol  byte  // what ends a line: '\r' in files of the oldest kind, else '\n'
}

func openSource(path string) (*source, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fault.OfOpening(path, err)
	}
	info, err := f.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = errors.New("it is not a regular file")
	}
	if err != nil {
		f.Close()
		return nil, fault.OfOpening(path, err)
	}
	return &source{name: path, file: f, size: info.Size(), buf: bufio.NewReaderSize(f, bufferSize), eol: '\n'}, nil
}

// Close closes the file.
func (s *source) Close() error { return s.file.Close() }

// Progress is the part consumed.
func (s *source) Progress() float64 { return float64(s.at) / float64(max(s.size, 1)) }

// rest is how many bytes are left.
func (s *source) rest() int64 { return s.size - s.at }

// peek shows the next n bytes, fewer where the file ends.
func (s *source) peek(n int) []byte {
	b, _ := s.buf.Peek(n) // a read error comes back with the read proper
	return b
}

func (s *source) extension(of ...string) bool {
	return slices.Contains(of, strings.ToLower(filepath.Ext(s.name)))
}

// readLine returns the next line without its end, valid until the next read;
// io.EOF where none is left.
func (s *source) readLine() ([]byte, error) {
	b, err := s.buf.ReadSlice(s.eol)
	s.at += int64(len(b))
	if len(b) > 0 {
		s.line++
	}
	switch {
	case err == nil:
		b = b[:len(b)-1]
	case err == bufio.ErrBufferFull:
		return nil, s.faultHere(fmt.Sprintf("the line is longer than %d bytes", bufferSize), "check that this is a text file with line ends")
	case err != io.EOF:
		return nil, fault.OfOpening(s.name, err)
	case len(b) == 0:
		return nil, io.EOF
	}
	return bytes.TrimSuffix(b, []byte{'\r'}), nil
}

// findLineEnd takes note of how the first line ends.
func (s *source) findLineEnd() {
	head := s.peek(bufferSize)
	if i := bytes.IndexAny(head, "\r\n"); i >= 0 && head[i] == '\r' && !bytes.HasPrefix(head[i:], []byte("\r\n")) {
		s.eol = '\r'
	}
}

// readFull fills b.
func (s *source) readFull(b []byte) error {
	n, err := io.ReadFull(s.buf, b)
	s.at += int64(n)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return fault.OfOpening(s.name, err)
	}
	return err
}

// skip passes over n bytes; io.ErrUnexpectedEOF where there are fewer.
func (s *source) skip(n int64) error {
	if n > s.rest() {
		s.at = s.size
		return io.ErrUnexpectedEOF
	}
	for n > 0 {
		d, err := s.buf.Discard(int(min(n, 1<<30)))
		s.at += int64(d)
		n -= int64(d)
		if err == io.EOF {
			return io.ErrUnexpectedEOF
		} else if err != nil {
			return fault.OfOpening(s.name, err)
		}
	}
	return nil
}

// longestPage of memory on any system in use (common practice).
const longestPage = 1 << 16

// padding tells whether nothing but zeros follows, and less than a page of them.
func (s *source) padding(from int64) bool {
	tail := make([]byte, min(s.size-from, longestPage))
	n, _ := s.file.ReadAt(tail, from)
	return n < longestPage && len(bytes.Trim(tail[:n], "\x00")) == 0
}

// fault speaks of the whole file.
func (s *source) fault(rule, remedy string) *fault.Error {
	return &fault.Error{File: s.name, Rule: rule, Remedy: remedy}
}

// faultHere speaks of the line just read.
func (s *source) faultHere(rule, remedy string) *fault.Error {
	return &fault.Error{File: s.name, Line: s.line, Rule: rule, Remedy: remedy}
}

// truncated says that the file ends after there of promised points.
func (s *source) truncated(there, promised int64) *fault.Error {
	return &fault.Error{File: s.name, Byte: s.size,
		Rule:   fmt.Sprintf("the file ends after %d of the %d points that its header promises", there, promised),
		Remedy: "copy or export it again"}
}

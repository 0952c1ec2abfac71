// Package points reads scans: PLY, PCD, CSV or XYZ with a header line, and E57.
// Points come in pieces, in the file's order, unit and frame, so a scan of any
// length passes through a few megabytes. Points without a return (not finite,
// or all zero) are handed on: whoever reads counts them.
package points

import (
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"cellwall/mapping/fault"
	"cellwall/mapping/points/e57"
)

// BatchSize is the greatest number of points in a batch: small enough for its
// columns to stay in a core's cache, large enough to make a call cheap.
const BatchSize = 1 << 16

// Batch is a piece of a scan, column by column. Use one batch for a whole file:
// its memory is used again by every Next.
type Batch struct {
	X, Y, Z   []float64 // the file's own unit and frame
	T         []float64 // s; empty where the file has no time
	Intensity []float64 // as the file has it; empty where it has none
	Eye       *r3.Vec   // where the rays start, same unit and frame, where the file says; else nil
}

// Len is the number of points.
func (b *Batch) Len() int { return len(b.X) }

// Reader hands out one scan from its start to its end. It belongs to one
// goroutine.
type Reader interface {
	// HasTime tells whether Batch.T is filled.
	HasTime() bool
	// HasIntensity tells whether Batch.Intensity is filled.
	HasIntensity() bool
	// Total is the number of points that the header promises, -1 where the
	// format does not say.
	Total() int64
	// Progress is the part of the file that has been read, 0 to 1.
	Progress() float64
	// Next fills b with at least one point, or empties it and returns io.EOF
	// at the end. Damage in the file is a *fault.Error.
	Next(b *Batch) error
	Close() error
}

// Open starts to read the scan in the file path. The format is told by the
// content first, then by the extension. Any fault that the header or the size
// of the file shows is found here; errors are *fault.Error.
func Open(path string) (Reader, error) {
	src, err := openSource(path)
	if err != nil {
		return nil, err
	}
	r, err := start(src)
	if err != nil {
		src.Close()
		return nil, err
	}
	return r, nil
}

// OpenTimed is Open for a scan that was taken in motion: it refuses a file
// without a time for every point.
func OpenTimed(path string) (Reader, error) {
	r, err := Open(path)
	if err != nil {
		return nil, err
	}
	if r.HasTime() {
		return r, nil
	}
	r.Close()
	return nil, &fault.Error{File: path, Rule: "its points have no time, and its scan has a motion",
		Remedy: "export it with a column t, in seconds on the clock of the motion file"}
}

// start picks the format and reads the header.
func start(src *source) (Reader, error) {
	switch head := src.peek(512); {
	case len(head) == 0:
		return nil, src.fault("it is empty", "export the scan again")
	case e57.Is(head) || src.extension(".e57"):
		return openE57(src)
	case isPLY(head) || src.extension(".ply"):
		return openPLY(src)
	case isPCD(head) || src.extension(".pcd"):
		return openPCD(src)
	case looksLikeText(head) || src.extension(".csv", ".xyz", ".txt"):
		return openCSV(src)
	default:
		return nil, src.fault("it is none of the formats that can be read",
			"write it as PLY, PCD 0.7, CSV with a header line, or E57")
	}
}

// looksLikeText tells text from binary: no control character but white space.
func looksLikeText(head []byte) bool {
	return !slices.ContainsFunc(head, func(c byte) bool {
		return c < ' ' && !strings.ContainsRune("\t\r\n\f\v", rune(c))
	})
}

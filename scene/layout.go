package scene

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"strconv"

	"gonum.org/v1/gonum/spatial/r3"
)

// writeLaidOut writes v as JSON that people can read: an object's members on
// lines of their own, but whatever holds no further object on one line.
func writeLaidOut(w io.Writer, v any) error {
	compact, err := json.Marshal(v)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	lay(&out, compact, "")
	out.WriteByte('\n')
	_, err = w.Write(out.Bytes())
	return err
}

// lay writes one compact JSON value at the given indent.
func lay(out *bytes.Buffer, v []byte, indent string) {
	if v[0] != '{' && v[0] != '[' || len(v) == 2 || bytes.IndexByte(v[1:], '{') < 0 {
		out.Write(spaced(v))
		return
	}
	inner := indent + " "
	out.WriteByte(v[0])
	for i, m := range members(v[1 : len(v)-1]) {
		if i > 0 {
			out.WriteByte(',')
		}
		out.WriteString("\n" + inner)
		if v[0] == '{' {
			k := stringEnd(m)
			out.Write(m[:k])
			out.WriteString(": ")
			m = m[k+1:]
		}
		lay(out, m, inner)
	}
	out.WriteString("\n" + indent)
	out.WriteByte(v[len(v)-1])
}

// members splits the inside of an object or array at its own commas.
func members(v []byte) [][]byte {
	var out [][]byte
	depth, from := 0, 0
	for i := 0; i < len(v); i++ {
		switch v[i] {
		case '"':
			i += stringEnd(v[i:]) - 1
		case '[', '{':
			depth++
		case ']', '}':
			depth--
		case ',':
			if depth == 0 {
				out = append(out, v[from:i])
				from = i + 1
			}
		}
	}
	return append(out, v[from:])
}

// stringEnd is the length of the JSON string that v begins with.
func stringEnd(v []byte) int {
	for i := 1; ; i++ {
		switch v[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
}

// spaced puts a blank after each comma and colon outside of strings.
func spaced(v []byte) []byte {
	var out []byte
	for i := 0; i < len(v); i++ {
		if v[i] == '"' {
			n := stringEnd(v[i:])
			out = append(out, v[i:i+n]...)
			i += n - 1
			continue
		}
		out = append(out, v[i])
		if v[i] == ',' || v[i] == ':' {
			out = append(out, ' ')
		}
	}
	return out
}

// Figures after the point in the files: far below any uncertainty, and far
// above what would make files long for nothing.
const (
	lengthDecimals    = 4 // mm
	seenDecimals      = 2 // mm, of the outline of what was seen, known to a voxel
	directionDecimals = 9
	quaternion        = 12 // a turn of 1e-12 rad moves nothing by a nanometre within 1 km
	sigmaFigures      = 4  // significant
	covFigures        = 9  // significant: a covariance loses its definiteness to coarse rounding
)

// to rounds x to so many decimals.
func to(decimals int, x float64) float64 {
	p := math.Pow10(decimals)
	return math.Round(x*p)/p + 0 // + 0 turns -0 into 0
}

// figures rounds x to so many significant figures.
func figures(n int, x float64) float64 {
	v, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', n, 64), 64)
	if err != nil {
		return x // not finite: the encoder refuses it
	}
	return v
}

func mm(x float64) float64 { return to(lengthDecimals, x) }

type triple [3]float64

func tripleOf(v r3.Vec, decimals int) triple {
	return triple{to(decimals, v.X), to(decimals, v.Y), to(decimals, v.Z)}
}

func (t triple) vec() r3.Vec { return r3.Vec{X: t[0], Y: t[1], Z: t[2]} }

func triples(points []r3.Vec, decimals int) []triple {
	out := make([]triple, len(points))
	for i, p := range points {
		out[i] = tripleOf(p, decimals)
	}
	return out
}

func vecs(points []triple) []r3.Vec {
	out := make([]r3.Vec, len(points))
	for i, p := range points {
		out[i] = p.vec()
	}
	return out
}

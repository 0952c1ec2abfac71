package mapping

import (
	"math"
	"sync"

	"cellwall/mapping/points"

	"gonum.org/v1/gonum/spatial/r3"
)

// piece is a part of a scan in file order. Of a moving scan it holds whole
// profiles: runs of points with one stamp.
type piece struct {
	at  int64     // place of the first point in the file
	eye r3.Vec    // where the rays start, in the frame of p
	p   []r3.Vec  // scanner's frame, or a still scan's own, mm
	t   []float64 // s; empty where the file has no time
	// stamps of the profile before the piece and of the one behind it, s; NaN at
	// the ends of the file
	before, after float64
}

// longestPiece ends a profile that does not end by itself, as where all of a
// file has one stamp.
const longestPiece = 4 * points.BatchSize

// pieces keep their memory.
var pieces = sync.Pool{New: func() any { return new(piece) }}

func newPiece(at int64, eye r3.Vec) *piece {
	p := pieces.Get().(*piece)
	*p = piece{at: at, eye: eye, p: p.p[:0], t: p.t[:0], before: math.NaN(), after: math.NaN()}
	return p
}

// free gives the piece's memory back.
func (p *piece) free() { pieces.Put(p) }

func (p *piece) len() int { return len(p.p) }

// append takes in a batch whose unit is unit mm. A ray that did not come back
// and has no stamp either belongs to the profile before it.
func (p *piece) append(b *points.Batch, unit float64) {
	for i := range b.X {
		p.p = append(p.p, r3.Vec{X: unit * b.X[i], Y: unit * b.Y[i], Z: unit * b.Z[i]})
	}
	for i, t := range b.T {
		if last := len(p.t) - 1; math.IsNaN(t) && last >= 0 && !returned(p.p[len(p.p)-b.Len()+i]) {
			t = p.t[last]
		}
		p.t = append(p.t, t)
	}
}

// lastProfile is where the last profile starts.
func (p *piece) lastProfile() int {
	i := len(p.t) - 1
	for i > 0 && p.t[i-1] == p.t[i] {
		i--
	}
	return max(i, 0)
}

// split leaves the first n points in p and returns the others.
func (p *piece) split(n int) *piece {
	rest := newPiece(p.at+int64(n), p.eye)
	rest.p = append(rest.p, p.p[n:]...)
	rest.t = append(rest.t, p.t[n:]...)
	p.p, p.t = p.p[:n], p.t[:n]
	p.after, rest.before = rest.t[0], p.t[n-1]
	return rest
}

// profiles calls do with the bounds of every profile, in order; not at all
// where the file has no time.
func (p *piece) profiles(do func(from, to int)) {
	for from, i := 0, 1; i <= len(p.t); i++ {
		if i == len(p.t) || p.t[i] != p.t[from] {
			do(from, i)
			from = i
		}
	}
}

// stamp of point i; those of the neighbouring profiles before and behind the
// piece, NaN where there are none.
func (p *piece) stamp(i int) float64 {
	switch {
	case i < 0:
		return p.before
	case i >= len(p.t):
		return p.after
	}
	return p.t[i]
}

// shortProfile is how few points per stamp say that every point has a stamp of
// its own.
const shortProfile = 4

// lines calls do with the bounds of every run of points that may follow each
// other along the laser line: every profile, or all of the piece where each
// point has its own stamp.
func (p *piece) lines(do func(from, to int)) {
	if p.stampsEach() {
		do(0, len(p.t))
		return
	}
	p.profiles(do)
}

// stampsEach tells whether each point has its own stamp.
func (p *piece) stampsEach() bool {
	n := 0
	p.profiles(func(int, int) { n++ })
	return n*shortProfile > len(p.t)
}

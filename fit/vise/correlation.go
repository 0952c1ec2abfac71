package vise

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// The noise of a scanner is correlated along its line and from line to line, so
// that n points do not know a face's place to sigma/sqrt(n). How much worse a
// mean is than that of independent points is its design effect (Kish 1965). It
// is read off the residuals: the mean over a cell of a face has a variance of
// sigma^2 deff / n, for every size of cell larger than the correlation reaches.

// cellShapes are the cells tried, mm along and across: squares, and strips
// along both axes of the face, since correlation may be long in one direction.
var cellShapes = [][2]float64{{4, 4}, {8, 8}, {16, 16}, {60, 4}, {4, 60}}

const (
	leastCells    = 12 // for a variance known to 40 %
	leastInCell   = 3.0
	mostInflation = 400.0
)

// designEffect pools the faces and sweeps: the sensor is the same for all.
func (f *fit) designEffect() float64 {
	worst := 1.0
	for _, shape := range cellShapes {
		if d, ok := f.inflation(shape); ok {
			worst = max(worst, d)
		}
	}
	return min(worst, mostInflation)
}

// tally sums the scaled residuals of the points of one cell.
type tally struct{ sum, squares, n float64 }

// inflation is the variance of cell means over that of independent points.
func (f *fit) inflation(shape [2]float64) (float64, bool) {
	cells := map[[4]int32]*tally{}
	order := make([]*tally, 0, 256)
	for i := range f.points {
		p := &f.points[i]
		if p.face == numFaces || p.weight == 0 {
			continue
		}
		u, w := onFace(p.face, f.seen[i])
		key := [4]int32{p.scan, int32(p.face), int32(math.Floor(u / shape[0])), int32(math.Floor(w / shape[1]))}
		c := cells[key]
		if c == nil {
			c = &tally{}
			cells[key] = c
			order = append(order, c)
		}
		r := p.weight * p.off / f.scale[p.scan][p.face]
		c.sum, c.squares, c.n = c.sum+r, c.squares+r*r, c.n+1
	}
	var between, within, total float64
	used := 0
	for _, c := range order {
		if c.n >= leastInCell {
			between += c.sum * c.sum / c.n
			within += c.squares
			total += c.n
			used++
		}
	}
	if used < leastCells || within == 0 {
		return 1, false
	}
	return between / float64(used) / (within / total), true
}

// onFace are the coordinates within a face of a point of the jaw frame.
func onFace(f face, q r3.Vec) (u, w float64) {
	switch axisOf(faces[f].normal) {
	case 0:
		return q.Y, q.Z
	case 1:
		return q.X, q.Z
	}
	return q.X, q.Y
}

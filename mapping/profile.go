package mapping

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// profile is one profile as the eye sees it: the points that came back, in file
// order.
type profile struct {
	at   []int32   // index of each within its piece
	v    []r3.Vec  // from the eye, mm
	r    []float64 // range, mm
	side []float64 // |v[i] x v[i+1]|: the range times the sideways step times the next range
	// bend[i] is how far v[i] lies along its ray beyond the straight line through
	// its neighbours a and b, mm. The ray meets that line at the share
	// |a x b| / (|a x m| + |m x b|) of the range of the point m itself: the areas
	// of the triangles that the points make with the eye. NaN at the ends, and
	// where the three do not follow each other in angle.
	bend []float64

	joint []joint // of the trio round each, see joints
}

// view fills the profile with points from to to of the piece.
func (f *profile) view(p *piece, from, to int) {
	f.at, f.v, f.r, f.side, f.bend = f.at[:0], f.v[:0], f.r[:0], f.side[:0], f.bend[:0]
	for i := from; i < to; i++ {
		if returned(p.p[i]) {
			v := r3.Sub(p.p[i], p.eye)
			f.at, f.v, f.r = append(f.at, int32(i)), append(f.v, v), append(f.r, norm(v))
		}
	}
	var before r3.Vec
	for i := range f.v {
		f.side, f.bend = append(f.side, 0), append(f.bend, math.NaN())
		if i == 0 {
			continue
		}
		cross := r3.Cross(f.v[i-1], f.v[i])
		f.side[i-1] = norm(cross)
		if i > 1 && r3.Dot(before, cross) > 0 {
			f.bend[i-1] = f.r[i-1] * (1 - norm(r3.Cross(f.v[i-2], f.v[i]))/(f.side[i-2]+f.side[i-1]))
		}
		before = cross
	}
}

// leastOrder is the share of a profile's points that must follow their
// neighbours in angle: a line turns back once, at its end, points in no order at
// every other step.
const leastOrder = 0.9

// ordered tells whether the points come in the order of a line.
func (f *profile) ordered() bool {
	follow := 0
	for _, b := range f.bend {
		if b == b { // not NaN
			follow++
		}
	}
	return float64(follow+2) >= leastOrder*float64(len(f.bend)) // the ends have none
}

// returned tells a point from a ray that did not come back.
func returned(p r3.Vec) bool {
	s := p.X + p.Y + p.Z // not finite where one of them is not
	return s-s == 0 && p != r3.Vec{}
}

// bendAt is the bend at point i over the points lag places before and after.
func (f *profile) bendAt(i, lag int) float64 {
	a, m, b := f.v[i-lag], f.v[i], f.v[i+lag]
	return f.r[i] * (1 - norm(r3.Cross(a, b))/(norm(r3.Cross(a, m))+norm(r3.Cross(m, b))))
}

// norm is the length of v. r3.Norm guards against overflow, which cannot happen
// within farthest, and costs five times as much.
func norm(v r3.Vec) float64 { return math.Sqrt(r3.Norm2(v)) }

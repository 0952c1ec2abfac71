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
	bend []float64 // how far v[i] lies along its ray beyond the chord of its neighbours, mm; NaN at the ends

	joint []joint // of the trio round each, see joints
}

// view fills the profile with points from to to of the piece.
func (f *profile) view(p *piece, from, to int) {
	f.at, f.v, f.r, f.side, f.bend = f.at[:0], f.v[:0], f.r[:0], f.side[:0], f.bend[:0]
	for i := from; i < to; i++ {
		if !returned(p.p[i]) {
			continue
		}
		v := r3.Sub(p.p[i], p.eye)
		f.at, f.v, f.r = append(f.at, int32(i)), append(f.v, v), append(f.r, r3.Norm(v))
	}
	for i := 0; i+1 < len(f.v); i++ {
		f.side = append(f.side, r3.Norm(r3.Cross(f.v[i], f.v[i+1])))
	}
	for i := range f.v {
		f.bend = append(f.bend, f.bendAt(i, 1))
	}
}

// returned tells a point from a ray that did not come back.
func returned(p r3.Vec) bool {
	s := p.X + p.Y + p.Z // not finite where one of them is not
	return s-s == 0 && p != r3.Vec{}
}

// bendAt is how far point i lies along its ray beyond the straight line through
// its neighbours lag places before and after, mm. The ray meets that line at
// the share |a x b| / (|a x m| + |m x b|) of the range of m, the areas of the
// triangles that the three points make with the eye. It is NaN where a
// neighbour is missing, or where the three do not follow each other in angle.
func (f *profile) bendAt(i, lag int) float64 {
	if i < lag || i+lag >= len(f.v) {
		return math.NaN()
	}
	a, m, b := f.v[i-lag], f.v[i], f.v[i+lag]
	am, mb := r3.Cross(a, m), r3.Cross(m, b)
	if r3.Dot(am, mb) <= 0 {
		return math.NaN()
	}
	return f.r[i] * (1 - r3.Norm(r3.Cross(a, b))/(r3.Norm(am)+r3.Norm(mb)))
}

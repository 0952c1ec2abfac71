package arm

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Reach bounds where any part of the arm can be: balls of one radius, base
// frame, mm. Where no ball is, the arm never is.
type Reach struct {
	Centres []r3.Vec
	Radius  float64
}

// reachSteps is into how many steps the first joint's range is cut, so that the
// balls round its frame stand for those between.
const reachSteps = 64

// Reach is where the arm can be: the first joint turns within its limits, and
// beyond its frame every row reaches no further than it is long, whatever the
// other joints do. It is an upper bound: links that cannot be in line are taken
// to be so.
func (a *Arm) Reach() Reach {
	if len(a.Joints) == 0 {
		return Reach{}
	}
	var r Reach
	first := &a.Joints[0]
	for i := range reachSteps + 1 {
		q := first.Min + (first.Max-first.Min)*float64(i)/reachSteps
		r.Centres = append(r.Centres, a.row(first, q).T)
	}
	for i := 1; i < len(r.Centres); i++ { // of the arc between two neighbours every point is nearer to one than their distance
		r.Radius = max(r.Radius, r3.Norm(r3.Sub(r.Centres[i], r.Centres[i-1])))
	}
	out := make([]float64, len(a.Joints)+1) // from frame 1, at most
	for i := 1; i < len(a.Joints); i++ {
		out[i+1] = out[i] + a.length(&a.Joints[i])
	}
	far := out[len(a.Joints)]
	for _, c := range a.Capsules {
		if c.Frame > 0 {
			far = max(far, out[c.Frame]+max(r3.Norm(c.From), r3.Norm(c.To))+c.Radius)
		}
	}
	r.Radius += far
	return r
}

// length bounds how far a row's frame can be from the frame before, mm.
func (a *Arm) length(j *Joint) float64 {
	if a.Convention == Free {
		return r3.Norm(j.Before.T) + r3.Norm(j.After.T)
	}
	return math.Hypot(j.A, j.D)
}

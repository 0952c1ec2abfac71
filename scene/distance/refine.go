package distance

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// refined is the polytope that stands for a body's core, and for a cylinder the
// angles of its rims' corners.
type refined struct {
	shape  *polytope
	bar    *Cylinder
	angles []float64
}

func refining(b Body) refined {
	r := refined{shape: b.inner()}
	if c, ok := b.(*Cylinder); ok {
		r.bar, r.angles = c, evenly(rimCorners)
	}
	return r
}

// refine sets corners on the rims where the bar reaches furthest along n, and
// two so close beside it that the chords leave out less than Exact.
func (r *refined) refine(n r3.Vec) {
	if r.bar == nil || r.bar.outward(n) == (r3.Vec{}) {
		return
	}
	at := math.Atan2(r3.Dot(n, r.bar.y), r3.Dot(n, r.bar.x))
	beside := math.Sqrt(Exact / r.bar.bar.Radius) // a chord of twice that angle leaves out r/2 times its square
	for _, a := range [3]float64{at - beside, at, at + beside} {
		a = math.Remainder(a, 2*math.Pi)
		if i, found := slices.BinarySearch(r.angles, a); !found {
			r.angles = slices.Insert(r.angles, i, a)
		}
	}
	r.shape = r.bar.within(r.angles)
}

package vise

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// An arm wavers while it sweeps, and a jaw is not flat to a micrometre: in each
// sweep every face lies a little off and aslant by itself, beside what the sweep
// is off as a whole. Its points share that, so that no number of them averages it
// out. Like the disagreement of sweeps it is a random effect, whose standard
// deviation is told from how faces fail to fit each other.

// waver is what one face looks off by in one sweep: in its middle, and at the
// ends of its two axes, mm.
type waver struct {
	face face
	scan int32
	off  [3]float64
}

const (
	// undeclaredWaver, mm, is what arms repeat to at best, .02 to .2 mm, and what
	// jaws are ground to (common practice); within a factor of three, but with long
	// tails, so that a steady arm may show. An arm's repeatability is several times
	// better than its accuracy (ISO 9283 names both; common practice), so that a
	// declared one may let expect less.
	undeclaredWaver = 0.02
	waverSpread     = 1.0
	steadiness      = 5.0
	noWaver         = -1
)

// usualWaver is what is expected of an arm of the declared accuracy, or of any
// where that is 0, mm.
func usualWaver(declared float64) float64 {
	if declared > 0 {
		return min(undeclaredWaver, declared/steadiness)
	}
	return undeclaredWaver
}

// waverBlocks gives every block its waver, and each the value that it had.
func (f *fit) waverBlocks() {
	old := f.wavers
	f.wavers = make([]waver, 0, len(f.blocks))
	for i := range f.blocks {
		b := &f.blocks[i]
		b.waver = len(f.wavers)
		w := waver{face: b.face, scan: b.scan}
		for _, o := range old {
			if o.face == w.face && o.scan == w.scan {
				w.off = o.off
			}
		}
		f.wavers = append(f.wavers, w)
	}
}

// inPlaneAxes are the two axes of a face, in the jaw frame.
func inPlaneAxes(k face) (u, w r3.Vec) {
	switch axisOf(faces[k].normal) {
	case 0:
		return r3.Vec{Y: 1}, r3.Vec{Z: 1}
	case 1:
		return r3.Vec{X: 1}, r3.Vec{Z: 1}
	}
	return r3.Vec{X: 1}, r3.Vec{Y: 1}
}

// leans are the three shapes of a waver, one over the whole face and one along
// either axis from -1 to 1, as coefficients on (1, x, y, z) of a point of the
// jaw frame.
func (j *jaws) leans(k face) (by [3][4]float64) {
	lo, hi := j.extent(k)
	by[0] = [4]float64{1}
	u, w := inPlaneAxes(k)
	for i, axis := range []r3.Vec{u, w} {
		a, b := r3.Dot(axis, lo), r3.Dot(axis, hi)
		half := max((b-a)/2, edgeMargin)
		by[1+i] = [4]float64{-(a + b) / 2 / half, axis.X / half, axis.Y / half, axis.Z / half}
	}
	return by
}

// inFit turns coefficients on a point of the jaw frame into those on one of the
// fit's frame.
func (f *fit) inFit(by [4]float64) [4]float64 {
	d := f.pose.R.Apply(r3.Vec{X: by[1], Y: by[2], Z: by[3]})
	return [4]float64{by[0] - r3.Dot(d, r3.Sub(f.pose.T, f.centre)), d.X, d.Y, d.Z}
}

// wavering is the value of every waver at points of the jaw frame, by scan and
// face, as coefficients on (1, x, y, z).
func (f *fit) wavering() [][numFaces][4]float64 {
	sum := make([][numFaces][4]float64, len(f.scans))
	for i := range f.wavers {
		w := &f.wavers[i]
		for k, by := range f.leans(w.face) {
			for c := range by {
				sum[w.scan][w.face][c] += w.off[k] * by[c]
			}
		}
	}
	return sum
}

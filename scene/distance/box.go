package distance

import (
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Box is a rectangular block at any angle.
type Box struct {
	box    geom.Box
	bounds geom.Bounds
	shape  *polytope
}

// NewBox makes a body of b.
func NewBox(b geom.Box) *Box {
	out := &Box{box: b, bounds: geom.NoBounds()}
	for _, c := range b.Corners() {
		out.bounds.Extend(c)
	}
	out.shape = boxShape(b)
	return out
}

// Bounds implements Body.
func (b *Box) Bounds() geom.Bounds { return b.bounds }

// Off is how far p lies outside of the box, mm; within it is negative, the way to
// the nearest side.
func (b *Box) Off(p r3.Vec) float64 {
	d := r3.Sub(p, b.box.Pose.T)
	var over [3]float64
	for i, size := range sides(b.box) {
		over[i] = math.Abs(r3.Dot(b.box.Pose.R.Axis(i), d)) - size/2
	}
	if most := slices.Max(over[:]); most <= 0 {
		return most
	}
	return r3.Norm(r3.Vec{X: max(0, over[0]), Y: max(0, over[1]), Z: max(0, over[2])})
}

// Thin is the least of the box's three sizes, mm.
func (b *Box) Thin() float64 { return min(b.box.Size.X, b.box.Size.Y, b.box.Size.Z) }

func (b *Box) round() float64 { return 0 }

func (b *Box) support(n r3.Vec) r3.Vec {
	p := b.box.Pose.T
	for i, size := range sides(b.box) {
		axis := b.box.Pose.R.Axis(i)
		p = r3.Add(p, r3.Scale(math.Copysign(size/2, r3.Dot(axis, n)), axis))
	}
	return p
}

func (b *Box) inner() *polytope { return b.shape }

func sides(b geom.Box) [3]float64 { return [3]float64{b.Size.X, b.Size.Y, b.Size.Z} }

func triple(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// capsuleBox is the closed form: the squared distance from the point at t of the
// segment to the box is convex, and quadratic between the values of t at which
// the segment crosses a plane of a side.
func capsuleBox(c Capsule, b *Box) Gap {
	turn := b.box.Pose.R.T()
	o := triple(turn.Apply(r3.Sub(c.From, b.box.Pose.T)))
	d := triple(turn.Apply(r3.Sub(c.To, c.From)))
	half := triple(r3.Scale(0.5, b.box.Size))
	t := leastOnSegment(o, d, half)
	onSegment := r3.Add(c.From, r3.Scale(t, r3.Sub(c.To, c.From)))
	p := triple(turn.Apply(r3.Sub(onSegment, b.box.Pose.T)))
	var out r3.Vec
	out.X, out.Y, out.Z = beyond(p[0], half[0]), beyond(p[1], half[1]), beyond(p[2], half[2])
	dist := r3.Norm(out)
	if dist <= touching {
		return overlap(c, b)
	}
	n := r3.Scale(-1/dist, b.box.Pose.R.Apply(out)) // from the capsule to the box
	return gapOf(c, b, onSegment, r3.Add(onSegment, r3.Scale(dist, n)), n, dist)
}

// beyond is how far x lies outside -h to h, with its sign.
func beyond(x, h float64) float64 {
	return x - min(max(x, -h), h)
}

// leastOnSegment is the t in 0 to 1 at which o + t d comes nearest to the box of
// the given half sides about the origin.
func leastOnSegment(o, d, half [3]float64) float64 {
	breaks := [8]float64{0, 1}
	n := 2
	for i := range d {
		for _, h := range [2]float64{-half[i], half[i]} {
			if t := (h - o[i]) / d[i]; t > 0 && t < 1 {
				breaks[n] = t
				n++
			}
		}
	}
	slices.Sort(breaks[:n])
	for k := 1; k < n; k++ {
		// within this piece half the slope is a + b t
		mid := (breaks[k-1] + breaks[k]) / 2
		var a, b float64
		for i := range d {
			if out := beyond(o[i]+mid*d[i], half[i]); out != 0 {
				a += d[i] * (o[i] - math.Copysign(half[i], out))
				b += d[i] * d[i]
			}
		}
		if a+b*breaks[k] >= 0 {
			if b == 0 {
				return mid // inside, or along a side
			}
			return min(max(-a/b, breaks[k-1]), breaks[k])
		}
	}
	return 1
}

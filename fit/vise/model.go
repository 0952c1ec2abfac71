package vise

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// The sizes of the two-jaw model that are fitted beside the pose, mm.
const (
	opening     = iota // between the faces
	width              // of both jaws
	depthFixed         // of the fixed jaw along Y
	depthMoving        // of the moving jaw along Y
	sideways           // of the moving jaw against the fixed one along X
	lift               // of the moving jaw's top above the fixed one's
	numSizes
)

// jaws is the two-jaw model: two boxes on a common bed.
type jaws struct {
	pose   geom.Pose // baseFromJaw
	size   [numSizes]float64
	height float64 // of both, or how far down they were seen to reach
}

// face is one of the planes that bound the two jaws. Bottoms are never seen.
type face int

const (
	fixedFace face = iota
	fixedTop
	fixedBack
	fixedLeft
	fixedRight
	movingFace
	movingTop
	movingBack
	movingLeft
	movingRight
	numFaces
)

// faces: in the jaw frame, normal . p = sum of by[k] size[k]. Left is the end
// at negative X.
var faces = [numFaces]struct {
	name   string
	normal r3.Vec
	by     [numSizes]float64
}{
	fixedFace:   {"fixed-jaw-face", r3.Vec{Y: 1}, [numSizes]float64{}},
	fixedTop:    {"fixed-jaw-top", r3.Vec{Z: 1}, [numSizes]float64{}},
	fixedBack:   {"fixed-jaw-back", r3.Vec{Y: -1}, [numSizes]float64{depthFixed: 1}},
	fixedLeft:   {"fixed-jaw-left-end", r3.Vec{X: -1}, [numSizes]float64{width: 0.5}},
	fixedRight:  {"fixed-jaw-right-end", r3.Vec{X: 1}, [numSizes]float64{width: 0.5}},
	movingFace:  {"moving-jaw-face", r3.Vec{Y: -1}, [numSizes]float64{opening: -1}},
	movingTop:   {"moving-jaw-top", r3.Vec{Z: 1}, [numSizes]float64{lift: 1}},
	movingBack:  {"moving-jaw-back", r3.Vec{Y: 1}, [numSizes]float64{opening: 1, depthMoving: 1}},
	movingLeft:  {"moving-jaw-left-end", r3.Vec{X: -1}, [numSizes]float64{width: 0.5, sideways: -1}},
	movingRight: {"moving-jaw-right-end", r3.Vec{X: 1}, [numSizes]float64{width: 0.5, sideways: 1}},
}

// offset of the face's plane in the jaw frame.
func (j *jaws) offset(f face) float64 {
	var d float64
	for k, c := range faces[f].by {
		d += c * j.size[k]
	}
	return d
}

// plane of the face in base.
func (j *jaws) plane(f face) geom.Plane {
	n := j.pose.R.Apply(faces[f].normal)
	return geom.Plane{Normal: n, Offset: r3.Dot(n, j.pose.T) + j.offset(f)}
}

// block returns the lowest and highest corner of a jaw in the jaw frame.
func (j *jaws) block(moving bool) (lo, hi r3.Vec) {
	half := j.size[width] / 2
	if !moving {
		return r3.Vec{X: -half, Y: -j.size[depthFixed], Z: -j.height}, r3.Vec{X: half}
	}
	lo = r3.Vec{X: j.size[sideways] - half, Y: j.size[opening], Z: -j.height}
	return lo, r3.Vec{X: j.size[sideways] + half, Y: j.size[opening] + j.size[depthMoving], Z: j.size[lift]}
}

// extent is the face's rectangle in the jaw frame, flat along the normal.
func (j *jaws) extent(f face) (lo, hi r3.Vec) {
	lo, hi = j.block(f >= movingFace)
	switch n := faces[f].normal; {
	case n.X > 0:
		lo.X = hi.X
	case n.X < 0:
		hi.X = lo.X
	case n.Y > 0:
		lo.Y = hi.Y
	case n.Y < 0:
		hi.Y = lo.Y
	case n.Z > 0:
		lo.Z = hi.Z
	}
	return lo, hi
}

// area of the face, mm^2.
func (j *jaws) area(f face) float64 {
	lo, hi := j.extent(f)
	d := r3.Sub(hi, lo)
	return d.X*d.Y + d.Y*d.Z + d.Z*d.X
}

// box of a jaw in base.
func (j *jaws) box(moving bool) geom.Box {
	lo, hi := j.block(moving)
	mid := r3.Scale(0.5, r3.Add(lo, hi))
	return geom.Box{Pose: geom.Pose{R: j.pose.R, T: j.pose.Apply(mid)}, Size: r3.Sub(hi, lo)}
}

// swapped is the same two jaws with their parts exchanged: the mirror
// hypothesis.
func (j *jaws) swapped() jaws {
	s := *j
	s.pose.R = geom.RotFromAxes(r3.Scale(-1, j.pose.R.Axis(0)), r3.Scale(-1, j.pose.R.Axis(1)), j.pose.R.Axis(2))
	s.pose.T = j.pose.Apply(r3.Vec{X: j.size[sideways], Y: j.size[opening], Z: j.size[lift]})
	s.size[depthFixed], s.size[depthMoving] = j.size[depthMoving], j.size[depthFixed]
	s.size[lift] = -j.size[lift]
	return s
}

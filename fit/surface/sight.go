package surface

import (
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// sight is what one sweep saw of a surface: weighted moments of its points, and
// the same moments with the weight squared times the variance of the noise,
// which say how noise moves a fit.
type sight struct {
	scan    int32
	points  float64
	eye     r3.Vec // sum of the scanner's places, times points
	weighed geom.Moments
	noisy   geom.Moments
}

// add takes in a voxel whose points count with weight w each and have the
// variance noise by the sensor.
func (s *sight) add(p *spot, w, noise float64) {
	s.points += p.N
	s.eye = r3.Add(s.eye, r3.Scale(p.N, p.eye))
	s.weighed.Merge(p.Weighted(w))
	s.noisy.Merge(p.Weighted(w * w * noise))
}

// slope is how far a sweep may be turned against the others at most, rad: a
// sweep that saw but a line of the surface tells nothing of the turn about that
// line, and takes it from the others instead.
const slope = 0.02

// hold is what keeps a sweep's turn within slope.
var hold = mat3{1: {1: 1 / (slope * slope)}, 2: {2: 1 / (slope * slope)}}

// plain is a sweep's own plane in a frame: its parameters and their covariance
// by noise, and by sways of turn and of wave of one mm^2. known is how many of
// the three parameters its points tell.
type plain struct {
	at                vec3
	noise, turn, wave mat3
	known             float64
}

// plane solves for the sweep's own plane z = x . p in the frame. design is the
// factor by which the noise of all points together exceeds that of independent
// ones.
func (s *sight) plane(frame geom.Pose, design float64) plain {
	a, h := normal(s.weighed, frame)
	b, _ := normal(s.noisy, frame)
	inv, _ := a.plus(hold).inverse()
	return plain{
		at:    inv.apply(h),
		noise: b.times(design).plus(hold).through(inv),
		turn:  s.turn(frame),
		wave:  inv.times(s.weighed.N),
		known: inv.mul(a).trace(),
	}
}

// normal sums x x^T and x z over weighted points: at u, v in the frame a point
// has x = (1, v, -u), for a plane's offset, turn about U and turn about V.
func normal(m geom.Moments, frame geom.Pose) (a mat3, h vec3) {
	p := frame.R.T().Apply(r3.Sub(m.Mean, frame.T))
	x := vec3{1, p.Y, -p.X}
	s := turned(m.Scatter, frame.R)
	a = x.outer().times(m.N).plus(mat3{1: {1: s[3], 2: -s[1]}, 2: {1: -s[1], 2: s[0]}})
	w := m.N * p.Z
	return a, vec3{w * x[0], w*x[1] + s[4], w*x[2] - s[2]}
}

// turned is R^T s R: the scatter in a frame's axes.
func turned(s geom.Sym3, r geom.Rot) geom.Sym3 {
	u, v, n := r.Axis(0), r.Axis(1), r.Axis(2)
	su, sv, sn := times(s, u), times(s, v), times(s, n)
	return geom.Sym3{r3.Dot(u, su), r3.Dot(u, sv), r3.Dot(u, sn), r3.Dot(v, sv), r3.Dot(v, sn), r3.Dot(n, sn)}
}

func times(s geom.Sym3, v r3.Vec) r3.Vec {
	return r3.Vec{X: s[0]*v.X + s[1]*v.Y + s[2]*v.Z, Y: s[1]*v.X + s[3]*v.Y + s[4]*v.Z, Z: s[2]*v.X + s[4]*v.Y + s[5]*v.Z}
}

// turn is the covariance of the sweep's plane where the scanner turns by one mm
// over its distance from the base, about each axis.
func (s *sight) turn(frame geom.Pose) mat3 {
	return s.radian(frame).times(1 / reach2(s.middle()))
}

// middle is where the scanner was on average.
func (s *sight) middle() r3.Vec { return r3.Scale(1/s.points, s.eye) }

// mount is the covariance of the sweep's plane by what the scanner's mount may be
// off: it carries the scanner along and turns it about itself, in all sweeps
// alike as far as one plane can tell, so it is not averaged over them.
func (s *sight) mount(frame geom.Pose, by mapping.Rigid) mat3 {
	c := s.radian(frame).times(by.Turn * by.Turn)
	c[0][0] += by.Shift * by.Shift
	return c
}

// mounts is what the mount adds to a plane that several sweeps saw: as one of them
// has it, on average.
func mounts(sights []sight, frame geom.Pose, by []mapping.Rigid) (c mat3) {
	for k := range sights {
		if scan := int(sights[k].scan); scan < len(by) {
			c = c.plus(sights[k].mount(frame, by[scan]).times(1 / float64(len(sights))))
		}
	}
	return c
}

// radian is the covariance of the sweep's plane where the scanner turns by one
// radian about each axis: the plane turns with it and is moved by the lever.
func (s *sight) radian(frame geom.Pose) mat3 {
	eye := s.middle()
	lever := r3.Cross(r3.Sub(frame.T, eye), frame.R.Axis(2))
	lu, lv := r3.Dot(lever, frame.R.Axis(0)), r3.Dot(lever, frame.R.Axis(1))
	return mat3{{r3.Norm2(lever), lu, lv}, {lu, 1, 0}, {lv, 0, 1}}
}

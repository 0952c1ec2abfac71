package fit

import (
	"cmp"
	"math"
	"slices"

	"cellwall/fit/surface"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// front is an upright face with an opening through which the rays went: what a
// machine's enclosure is known by.
type front struct {
	pieces []int // surfaces, largest first
	face   bound // all pieces as one
	// Datum-like: origin on the floor below the middle of what was seen, X into
	// the machine, Z up along the front.
	frame  geom.Pose
	extent rect // of what was seen, on the sheet
	sheet  *sheet
	hole   rect // the opening, on the sheet
	rims   [2][2]border
	mouth  bool // it has no sheet, or but strips of one: its sides end there
}

// Least size of a front, mm: a machine that an arm tends stands higher than a
// table, whose legs and apron stand round an opening, too (common practice: 700 to
// 1200 mm for working heights), and holds an opening with something round it.
const (
	minFrontHeight = 1200
	minFrontWidth  = minOpening + 2*rasterPitch
)

// Greatest size of a front, mm: machine tools that an arm tends are smaller (common
// practice), the walls of rooms with a doorway are not.
const (
	maxFrontWidth  = 4500
	maxFrontHeight = 3500
)

// maxCovered is the share of its extent that a face may cover and still have an
// opening worth the search: the least opening in a front of 2 m by 2 m is 1 %.
const maxCovered = 0.99

// findFronts lists the upright faces with an opening, the one with the largest
// extent first. Of several planes that share one opening (the sheet, a raised
// frame round it, a door leaf beside it) the one with the largest extent is the
// front.
func (s *survey) findFronts() []front {
	groups := s.groups(s.free(s.frontLike), doorGap)
	all, ok := make([]front, len(groups)), make([]bool, len(groups))
	cores.Each(len(groups), func(i int) { all[i], ok[i] = s.front(groups[i]) })
	var out []front
	for i := range all {
		if ok[i] {
			out = append(out, all[i])
		}
	}
	slices.SortStableFunc(out, func(a, b front) int { return cmp.Compare(b.extent.area(), a.extent.area()) })
	var kept []front
	for i := range out {
		if !sharesOpening(&out[i], kept) {
			kept = append(kept, out[i])
		}
	}
	return kept
}

// maxLean is how far the front of a machine leans from the upright: covers slope
// so that chips slide off (common practice: up to 10 degrees).
const maxLean = 12 * math.Pi / 180

// frontLike tells whether f is a plane that stands on edge or leans a little.
func (s *survey) frontLike(f *surface.Surface) bool {
	return f.Cylinder == nil && math.Abs(r3.Dot(f.Plane.Normal, s.up)) < math.Sin(maxLean)
}

// front reads the rays against one face.
func (s *survey) front(group []int) (front, bool) {
	f := front{pieces: group}
	f.face = s.fused(group)
	f.frame = s.footing(f.face)
	f.extent = projectOn(sheetOf(f.frame), s.corners(group))
	if f.extent.hi[1] < minFrontHeight || f.extent.size(0) < minFrontWidth || f.extent.size(1) < minOpening {
		return f, false
	}
	if s.area(group) > maxCovered*f.extent.size(0)*f.extent.size(1) {
		return f, false
	}
	return f, s.readOpening(&f)
}

// readOpening reads the rays against the front's plane and finds the opening.
func (s *survey) readOpening(f *front) bool {
	if !s.looksThrough(sheetOf(f.frame), f.extent) {
		return false
	}
	group := f.pieces
	if f.mouth {
		group = s.endingOn(f)
	}
	f.sheet = s.newSheet(sheetOf(f.frame), f.around(), group)
	f.sheet.thin = f.mouth
	if f.mouth {
		return s.openingWithin(f)
	}
	t := f.sheet.raster(f.extent)
	f.extent = t.solid()
	if s.openingWithin(f) {
		return true
	}
	wide := t.attached(f.extent)
	if wide.size(0) < f.extent.size(0)+minOpening {
		return false
	}
	f.extent = wide
	return s.openingWithin(f)
}

// openingWithin finds the opening within the front's extent.
func (s *survey) openingWithin(f *front) bool {
	if f.extent.size(0) > maxFrontWidth || f.extent.hi[1] > maxFrontHeight {
		return false
	}
	var ok bool
	f.hole, f.rims, ok = f.sheet.opening(f.extent)
	if ok {
		s.settleRims(f)
		s.boundOpening(f)
	}
	return ok
}

// A face is worth the search for an opening if, of every sampleStride-th voxel,
// fewSeen were seen through it: the least opening, 200 mm square, shows some
// hundreds of voxels.
const (
	sampleStride = 16
	fewSeen      = 8
)

// looksThrough tells whether a sample of the rays went through the rectangle.
func (s *survey) looksThrough(frame geom.Pose, r rect) bool {
	sheetFromBase := frame.Inverse()
	seen := 0
	for i := 0; i < len(s.cloud.Voxels); i += sampleStride {
		ray, ok := newRay(&s.cloud.Voxels[i], sheetFromBase)
		if ok && ray.point.Z < -matThickness && r.contains(ray.through) {
			seen++
		}
	}
	return seen >= fewSeen
}

// around is the region of the sheet that is looked at: beyond the extent by
// what a border search needs.
func (f *front) around() rect {
	r := f.extent
	for a := range 2 {
		r.lo[a] -= bracketReach
		r.hi[a] += bracketReach
	}
	return r
}

// footing is the frame of a front: on the floor, X into the machine, Z up along
// the face.
func (s *survey) footing(face bound) geom.Pose {
	x := r3.Scale(-1, face.Normal)
	y := r3.Unit(r3.Cross(s.up, x))
	z := r3.Cross(x, y)
	foot := r3.Sub(face.Centre, r3.Scale(s.height(face.Centre)/r3.Dot(z, s.up), z))
	return geom.Pose{R: geom.RotFromAxes(x, y, z), T: foot}
}

// sheetOf is the sheet's frame of a front's: X to the right as the viewer sees
// it (against the front's Y), Y up, Z toward the viewer.
func sheetOf(footing geom.Pose) geom.Pose {
	return geom.Pose{R: geom.RotFromAxes(r3.Scale(-1, footing.R.Axis(1)), footing.R.Axis(2), r3.Scale(-1, footing.R.Axis(0))), T: footing.T}
}

// sharesOpening tells whether f looks through the same hole as one that was
// kept.
func sharesOpening(f *front, kept []front) bool {
	middle := f.holeMiddle()
	for i := range kept {
		k := &kept[i]
		q := sheetOf(k.frame).Inverse().Apply(middle)
		if tilt(k.face.Normal, f.face.Normal) < leafTurn && math.Abs(q.Z) < proud && k.hole.contains(q) {
			return true
		}
	}
	return false
}

// leafTurn is the greatest angle between a front and a frame or door leaf that
// is part of it.
const leafTurn = 10 * math.Pi / 180

// holeMiddle is the middle of the opening, base frame.
func (f *front) holeMiddle() r3.Vec {
	return sheetOf(f.frame).Apply(r3.Vec{X: (f.hole.lo[0] + f.hole.hi[0]) / 2, Y: (f.hole.lo[1] + f.hole.hi[1]) / 2})
}

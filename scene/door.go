package scene

import (
	"math"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// front is how far from the front's plane another sheet still belongs to
	// the front, mm: the depth of a door's frame.
	front = 150
	// parallel is the cosine within which a sheet is the front's: a front and a
	// side stand at right angles, nothing lies between.
	parallel = 0.9
)

// doorway is the enclosure's opening where s is its front: the slabs behind the
// front must leave it open, whatever the outline says.
func doorway(o *fit.Object, s *surface.Surface) [][]r3.Vec {
	if !isFront(o, s) || math.Abs(o.Pose.Inverse().Apply(s.Centre).X) > front {
		return nil
	}
	w := o.Opening
	ring := []r3.Vec{{Y: w.YMin, Z: w.ZMin}, {Y: w.YMax, Z: w.ZMin}, {Y: w.YMax, Z: w.ZMax}, {Y: w.YMin, Z: w.ZMax}}
	for i, p := range ring {
		ring[i] = o.Pose.Apply(p)
	}
	return [][]r3.Vec{ring}
}

// isFront tells whether s is parallel to the front of an enclosure with an
// opening.
func isFront(o *fit.Object, s *surface.Surface) bool {
	return o.Opening != nil && math.Abs(r3.Dot(s.Plane.Normal, o.Pose.R.Axis(0))) >= parallel
}

// beforeDoor is how deep behind s a slab may go before it stands in the
// enclosure's doorway: the lips round an opening are seen from their far side,
// and what was seen to be the opening is not solid. +Inf where nothing limits
// it.
func beforeDoor(o *fit.Object, s *surface.Surface) float64 {
	if o.Opening == nil || isFront(o, s) {
		return math.Inf(1)
	}
	w := o.Opening
	seen := boundsIn(o.Pose, s.Outline)
	inward := o.Pose.R.T().Apply(r3.Scale(-1, s.Plane.Normal)) // the way the slab grows
	overlaps := func(lo, hi, from, to float64) bool { return lo < to && hi > from }
	besideY := overlaps(seen.Min.Y, seen.Max.Y, w.YMin, w.YMax)
	besideZ := overlaps(seen.Min.Z, seen.Max.Z, w.ZMin, w.ZMax)
	limit := math.Inf(1)
	toward := func(gap, along float64) {
		if along > parallel && gap > -leastThick {
			limit = min(limit, max(gap, 0)/along)
		}
	}
	switch {
	case !overlaps(seen.Min.X, seen.Max.X, -front, front):
	case besideZ && !besideY:
		toward(w.YMin-seen.Max.Y, inward.Y)
		toward(seen.Min.Y-w.YMax, -inward.Y)
	case besideY && !besideZ:
		toward(w.ZMin-seen.Max.Z, inward.Z)
		toward(seen.Min.Z-w.ZMax, -inward.Z)
	}
	return limit
}

// boundsIn are the bounds of points in the frame of a pose.
func boundsIn(pose geom.Pose, points []r3.Vec) geom.Bounds {
	inverse := pose.Inverse()
	b := geom.NoBounds()
	for _, p := range points {
		b.Extend(inverse.Apply(p))
	}
	return b
}

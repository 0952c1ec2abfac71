package fit

import (
	"math"

	"cellwall/fit/surface"

	"gonum.org/v1/gonum/spatial/r3"
)

// maxFloorTilt is how far the floor may lean against the base. An arm is
// levelled to a few degrees (common practice); beyond twice that a ramp is more
// likely than a floor.
const maxFloorTilt = 10 * math.Pi / 180

// minFloor is the least area that is believed to be the floor, mm^2: half a
// square metre, so that with a range of metres a bench's shelf is not.
const minFloor = 0.5e6

// stepHeight is how far below the floor something may be seen: a pit or a step
// down to a lower part, mm (common practice: a tread is 150 to 200 mm).
const stepHeight = 250

// findFloor takes the largest near-level surface seen from above that has
// nearly nothing below it, sets what is up by it, and returns it as an object.
// Further level surfaces within a mat's thickness of it are its faces too.
func (s *survey) findFloor() []Object {
	best := s.largest(s.free(everything), s.lowLevel)
	if best < 0 {
		return nil
	}
	b := boundOf(&s.surfaces[best])
	s.floor, s.up = &b, b.Normal
	floor := Object{Name: string(Floor), Kind: Floor}
	floor.Pose, floor.Cov, floor.Budget = flatDatum(b)
	s.takeGroup(&floor, "floor", s.piecesOf(best))
	for n, i := range s.free(s.mat) {
		floor.Faces = append(floor.Faces, s.take(numbered("mat", n+1), i))
	}
	return []Object{floor}
}

// lowLevel tells whether f could be the floor.
func (s *survey) lowLevel(f *surface.Surface) bool {
	return f.Cylinder == nil && f.Area >= minFloor &&
		r3.Dot(f.Plane.Normal, r3.Vec{Z: 1}) > math.Cos(maxFloorTilt) &&
		s.behind(f.Plane, stepHeight) < strays
}

// strays is the share of what was seen that may contradict "nothing behind":
// reflections in bare metal lie behind the metal (common practice, about 1 %).
const strays = 0.02

// matThickness is how far a mat, a kerb or a floor plate rises above the floor
// and still is walked on, mm (common practice: below 30 mm one does not stumble
// over it as over a step).
const matThickness = 30

// mat tells whether f is a level surface just above or below the floor.
func (s *survey) mat(f *surface.Surface) bool {
	lo, hi := s.heights(f)
	return s.level(f) && lo > -stepHeight && hi < matThickness
}

// findCeiling takes the largest level surface that is seen from below, is no
// machine's roof and has nearly nothing above it.
func (s *survey) findCeiling(stations []station) []Object {
	best := s.largest(s.free(func(f *surface.Surface) bool { return ofRoom(f, stations) }), s.overhead)
	if best < 0 {
		return nil
	}
	ceiling := Object{Name: string(Ceiling), Kind: Ceiling}
	ceiling.Pose, ceiling.Cov, ceiling.Budget = flatDatum(boundOf(&s.surfaces[best]))
	s.takeGroup(&ceiling, "ceiling", s.piecesOf(best))
	return []Object{ceiling}
}

// headroom is the least height of a room, mm (ISO 14738: 1900 mm and more for
// a standing person; from memory).
const headroom = 1900

// overhead tells whether f could be the ceiling.
func (s *survey) overhead(f *surface.Surface) bool {
	lo, _ := s.heights(f)
	return f.Cylinder == nil && f.Area >= minFloor && lo > headroom &&
		r3.Dot(f.Plane.Normal, s.up) < -math.Cos(maxFloorTilt) &&
		s.behind(f.Plane, matThickness) < strays
}

// everything passes every surface.
func everything(*surface.Surface) bool { return true }

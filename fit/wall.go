package fit

import (
	"slices"

	"cellwall/fit/surface"

	"gonum.org/v1/gonum/spatial/r3"
)

// minWall is the least area that is believed to be a wall, mm^2, and minWallTop
// how high above the floor it must reach, mm: a fence round a robot is at least
// 1400 mm high (ISO 13857:2019, table 2; from memory), of which the top may not
// have been scanned.
const (
	minWall    = 0.3e6
	minWallTop = 1000
)

// findWalls takes the upright faces that bound what was seen: nearly nothing
// lies behind them. Pieces of one face make one wall. Nothing lies behind the
// outermost cabinet or crate either: what could be a piece of furniture is none.
func (s *survey) findWalls(stations []station) []Object {
	var walls []Object
	for _, group := range s.groups(s.free(s.uprightIn(stations)), wallGap) {
		if s.wallSized(group) && (s.wide(group) || s.top(group) > tallThing) && s.behind(s.surfaces[group[0]].Plane, matThickness) < strays {
			walls = append(walls, s.wall(group))
		}
	}
	return walls
}

// uprightIn passes the upright faces of the room that holds the machines.
func (s *survey) uprightIn(stations []station) func(*surface.Surface) bool {
	return func(f *surface.Surface) bool { return s.upright(f) && ofRoom(f, stations) }
}

// findPanels takes the large upright faces that are part of nothing else though
// something lies behind them: fences, and walls of a room with corners.
func (s *survey) findPanels(stations []station) []Object {
	var large [][]int
	for _, group := range s.groups(s.free(s.uprightIn(stations)), thingGap) {
		if s.wallSized(group) && s.wide(group) {
			large = append(large, group)
		}
	}
	var panels []Object
	for _, group := range s.inOnePlane(large) {
		panels = append(panels, s.wall(group))
	}
	return panels
}

// inOnePlane puts together the panels that lie in one plane with no more than a
// doorway between them: they are one wall, or one fence with its gate. The
// largest come first.
func (s *survey) inOnePlane(panels [][]int) [][]int {
	var out [][]int
	for len(panels) > 0 {
		wall := panels[0]
		panels = panels[1:]
		for again := true; again; {
			again = false
			panels = slices.DeleteFunc(panels, func(p []int) bool {
				a, b := &s.surfaces[wall[0]], &s.surfaces[p[0]]
				if slackOf(a, b) > proud || !coplanar(a, b) || !s.nearAny(wall, p[0], doorGap) {
					return false
				}
				wall, again = append(wall, p...), true
				return true
			})
		}
		out = append(out, sortedBy(wall, func(i int) float64 { return -s.surfaces[i].Area }))
	}
	return out
}

// wallSized tells whether a face is large and tall enough for a wall.
func (s *survey) wallSized(group []int) bool {
	return s.area(group) >= minWall && s.top(group) >= minWallTop
}

// tallThing is how high things reach that stand in a room, mm (common practice:
// cabinets are up to 2000 high on a plinth, racks to be reached by hand 2200).
const tallThing = 2300

// top is how high above the floor a group of faces reaches, mm.
func (s *survey) top(group []int) float64 {
	top := 0.0
	for _, i := range group {
		_, hi := s.heights(&s.surfaces[i])
		top = max(top, hi)
	}
	return top
}

// wall makes an object of the pieces of one face.
func (s *survey) wall(group []int) Object {
	o := Object{Kind: Wall}
	s.takeGroup(&o, "face", group)
	o.Pose, o.Cov, o.Budget = flatDatum(boundOf(&o.Faces[0].Surface))
	return o
}

// facing is the way to a wall from the base: against its normal.
func facing(o *Object) r3.Vec { return r3.Scale(-1, o.Pose.R.Axis(2)) }

// wide tells whether an upright face is too wide for a piece of furniture.
func (s *survey) wide(group []int) bool {
	lo, hi := span(s.corners(group), r3.Unit(r3.Cross(s.up, s.surfaces[group[0]].Plane.Normal)))
	return hi-lo >= minFence
}

// minFence is the least width of a free-standing fence panel, mm (common
// practice: panels are 1 to 2 m wide).
const minFence = 1000

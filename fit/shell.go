package fit

import (
	"math"
	"slices"

	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// side is one of the directions in which an enclosure ends, seen from the
// front.
type side int

const (
	left side = iota
	right
	back
	top
	bottom
	numSides
)

func (d side) String() string {
	return [numSides]string{"left", "right", "back", "top", "bottom"}[d]
}

// outward is the direction of a side in the front's frame.
func (d side) outward() r3.Vec {
	return [numSides]r3.Vec{{Y: 1}, {Y: -1}, {X: 1}, {Z: 1}, {Z: -1}}[d]
}

// shell is the sheets behind a front: their outer faces, and the inner ones as
// seen through the opening. Each is a group of surfaces, empty where not seen.
type shell struct {
	outer, inner [numSides][]int
}

// minInner is the least area of an inner face, mm^2: a hand's breadth by a
// foot; smaller ones are fittings.
const minInner = 0.03e6

// corner is how far apart two sheets that meet may be seen to end, mm: rounded
// corners, lips and a door's frame (common practice), and points dropped at the
// edge.
const corner = 150

// findShell looks for the sheets behind a front.
func (s *survey) findShell(f *front) shell {
	var sh shell
	seen := s.notThroughWindows(f, s.through(f))
	for d := range numSides {
		out := s.outwardOf(f, d)
		outer := s.groups(s.free(func(p *surface.Surface) bool { return looks(p, out) && f.endsWith(d, p.Outline) }), wallGap)
		for _, g := range outer {
			if sh.outer[d] == nil && s.bounds(f, d, flipped(s.surfaces[g[0]].Plane), seen) {
				sh.outer[d] = g
			}
		}
		inner := s.groups(s.free(func(p *surface.Surface) bool {
			return looks(p, r3.Scale(-1, out)) && (f.within(p.Outline) || s.behindEnd(f, d, p))
		}), wallGap)
		for _, g := range inner {
			if sh.inner[d] == nil && s.area(g) > minInner && s.bounds(f, d, s.surfaces[g[0]].Plane, seen) {
				sh.inner[d] = g
			}
		}
	}
	return sh
}

// outwardOf is the direction of a side in base. The sheets behind a front stand
// upright whether or not the front leans.
func (s *survey) outwardOf(f *front, d side) r3.Vec {
	switch d {
	case back:
		return level(f.frame.R.Axis(0), s.up)
	case top:
		return s.up
	case bottom:
		return r3.Scale(-1, s.up)
	}
	return f.frame.R.Apply(d.outward())
}

// flipped is the plane seen from behind.
func flipped(pl geom.Plane) geom.Plane {
	return geom.Plane{Normal: r3.Scale(-1, pl.Normal), Offset: -pl.Offset}
}

// looks tells whether f is a plane whose normal is n, within square.
func looks(f *surface.Surface, n r3.Vec) bool {
	return f.Cylinder == nil && r3.Dot(f.Plane.Normal, n) > math.Cos(square)
}

// closes tells whether a shell is an enclosure's: one side at least joins the
// front, and what lies behind the opening ends somewhere.
func (sh *shell) closes() bool {
	sides := 0
	for _, d := range [2]side{left, right} {
		if sh.outer[d] != nil || sh.inner[d] != nil {
			sides++
		}
	}
	return sides == 2 || sides == 1 && (sh.inner[back] != nil || sh.outer[back] != nil)
}

// joined tells whether a back, a roof or a header runs between the sides of an open
// machine. The walls of a room that face each other have none.
func (m *machine) joined() bool {
	for _, d := range [2]side{back, top} {
		if m.inner[d] != nil || m.outer[d] != nil {
			return true
		}
	}
	return m.rims[1][1].closed
}

// whole tells whether enough of a shell was seen to call it a machine's where
// nobody said that one stands there: the back, one side, and the other or that rays
// went past the front there. Niches and doors of a room have less.
func (s *survey) whole(m *machine) bool {
	sides := 0
	for _, d := range [2]side{left, right} {
		switch {
		case m.outer[d] != nil || m.inner[d] != nil:
			sides++
		case !m.free[d]:
			return false
		}
	}
	return (m.outer[back] != nil || m.inner[back] != nil) && (sides == 2 || sides == 1 && s.ownBack(m))
}

// ownBack tells whether the back ends on either side where the front does: a wall
// behind a screen that stands before it goes on.
func (s *survey) ownBack(m *machine) bool {
	g := m.inner[back]
	return g != nil && !slices.ContainsFunc(s.piecesOf(g[0]), func(i int) bool {
		lo, hi := m.box(s.surfaces[i].Outline)
		return hi.Y > m.reach(left)+corner || -lo.Y > m.reach(right)+corner
	})
}

// through lists the points that were seen through the opening, as voxels: those
// no higher than the front, for over the sides of a machine without a roof the
// room shows.
func (s *survey) through(f *front) []int32 {
	sheetFromBase := f.sheet.frame.Inverse()
	grown := f.hole.grown(rasterPitch)
	var out []int32
	for i := range s.cloud.Voxels {
		if s.weight[i] == 0 {
			continue
		}
		r, ok := newRay(&s.cloud.Voxels[i], sheetFromBase)
		if ok && r.point.Z < -matThickness && r.point.Y < f.extent.hi[1]-matThickness && grown.contains(r.through) {
			out = append(out, int32(i))
		}
	}
	return out
}

// endsWith tells whether a face with these corners, which looks to side d, ends
// the machine there: it starts at the front and stands where the front ends.
func (f *front) endsWith(d side, corners []r3.Vec) bool {
	lo, hi := f.box(corners)
	if d == back {
		return lo.X > minOpening && hi.Y > -f.extent.hi[0] && lo.Y < -f.extent.lo[0]
	}
	if lo.X > corner || hi.X < corner || lo.X < -corner {
		return false
	}
	switch d {
	case left:
		return math.Abs((lo.Y+hi.Y)/2+f.extent.lo[0]) < corner
	case right:
		return math.Abs((lo.Y+hi.Y)/2+f.extent.hi[0]) < corner
	case top:
		return math.Abs((lo.Z+hi.Z)/2-f.extent.hi[1]) < corner && lo.Y < -f.hole.lo[0] && hi.Y > -f.hole.hi[0]
	}
	return false // the bottom's outer face looks down
}

// within tells whether a face with these corners lies behind the front.
func (f *front) within(corners []r3.Vec) bool {
	lo, hi := f.box(corners)
	return lo.X > -corner && hi.X > corner && lo.Y > -f.extent.hi[0]-corner && hi.Y < -f.extent.lo[0]+corner
}

// behindEnd tells whether p, which looks into the machine, may be the inside of
// side d though it stands further out than the front was seen: nothing shows that
// the front ends before it, and it was looked at through the opening.
func (s *survey) behindEnd(f *front, d side, p *surface.Surface) bool {
	if d != left && d != right || p.Area < minInner || !s.seenThrough(f, p) {
		return false
	}
	if lo, hi := f.box(p.Outline); lo.X < -corner || hi.X < corner {
		return false
	}
	end, ok := f.sheet.find(f.endSearches()[d])
	return !ok || !end.open || !end.closed
}

// mostly is the share of a face that must have been looked at through the opening:
// what was seen past the front or over it was not, but for what strays and a border
// that is known to a square of the raster leave.
const mostly = 0.75

// seenThrough tells whether p was looked at through the opening, or from behind it.
// Where an edge of that was not seen, the opening may go on there.
func (s *survey) seenThrough(f *front, p *surface.Surface) bool {
	hole := f.hole.grown(rasterPitch)
	for side, end := range [2]*float64{&hole.lo[0], &hole.hi[0]} {
		if !f.rims[0][side].closed {
			*end = math.Inf(2*side - 1)
		}
	}
	sheetFromBase := f.sheet.frame.Inverse()
	through, total := 0.0, 0.0
	for _, k := range p.Voxels {
		r, before := newRay(&s.cloud.Voxels[k], sheetFromBase)
		total += s.weight[k]
		if before && hole.contains(r.through) || r.eye.Z <= 0 && hole.contains(r.eye) {
			through += s.weight[k]
		}
	}
	return through > mostly*total
}

// bounds tells whether nearly nothing of what was seen, listed as voxels, lies
// behind the plane on side d. What a ray met behind the back that passed it beside
// the machine was seen through a side that is not there: it says nothing of the back.
func (s *survey) bounds(f *front, d side, pl geom.Plane, seen []int32) bool {
	beyond, total := 0.0, 0.0
	for _, i := range seen {
		v := &s.cloud.Voxels[i]
		total += s.weight[i]
		if pl.Distance(v.Mean) < -matThickness && (d != back || f.spans(meets(pl, v))) {
			beyond += s.weight[i]
		}
	}
	return beyond < strays*total
}

// meets is where the mean ray to a voxel, or what it goes on to, meets a plane.
func meets(pl geom.Plane, v *mapping.Voxel) r3.Vec {
	eye := v.Eye()
	from, to := pl.Distance(eye), pl.Distance(v.Mean)
	return r3.Add(eye, r3.Scale(from/(from-to), r3.Sub(v.Mean, eye)))
}

// spans tells whether the front reaches as far to the left and right as p lies.
func (f *front) spans(p r3.Vec) bool {
	y := f.frame.Inverse().Apply(p).Y
	return -f.extent.hi[0] < y && y < -f.extent.lo[0]
}

// box is the least and greatest coordinates of points in the front's frame.
func (f *front) box(points []r3.Vec) (lo, hi r3.Vec) {
	var l, h [3]float64
	for a := range 3 {
		axis := f.frame.R.Axis(a)
		l[a], h[a] = span(points, axis)
		at := r3.Dot(f.frame.T, axis)
		l[a], h[a] = l[a]-at, h[a]-at
	}
	return r3.Vec{X: l[0], Y: l[1], Z: l[2]}, r3.Vec{X: h[0], Y: h[1], Z: h[2]}
}

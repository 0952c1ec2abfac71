package fit

import (
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// largestBlock is how far a block is taken to reach at most beyond what was seen of
// it, mm, where neither a ray nor a face bounds it: a cabinet or a machine's
// control stands up to 2 m high and wide (common practice).
const largestBlock = 2000

// openSides widens the ends of a crate that no face ends by all that is open there
// and names those that are: such an end lies where the faces were seen to end, or
// anywhere from there to the first thing that bounds it. The box keeps to what was
// seen, so that the root mean square of what it may be off is a third of the
// square of that (JCGM 100:2008, 4.3.7, about an end of the interval).
func (s *survey) openSides(c *crate, set []int) (notSeen []string) {
	for e := range c.ends {
		if c.faces[e] >= 0 || e == 4 && c.stands {
			continue
		}
		open := s.openBeyond(c, set, e)
		sigma := max(open/math.Sqrt(3), oneSided)
		c.ends[e].Cov[0][0] = sigma * sigma
		if open > blockGap {
			notSeen = append(notSeen, "where it ends "+c.sideName(e))
		}
	}
	return notSeen
}

// sideName says where end e is, as one sees it from the base.
func (c *crate) sideName(e int) string {
	switch e {
	case 4:
		return "at the bottom"
	case 5:
		return "at the top"
	}
	return "on the " + sideSeen(c.outward(e), c.middle())
}

// openBeyond is how far beyond its seen end e a crate may reach, mm: to the first
// face that looks back at it, or the first rays that went past in the plane of one
// of its faces.
func (s *survey) openBeyond(c *crate, set []int, e int) float64 {
	d := c.outward(e)
	from := r3.Dot(c.ends[e].Centre, d)
	open := float64(largestBlock)
	for _, i := range s.everyPlane(r3.Scale(-1, d)) {
		f := &s.surfaces[i]
		if x := r3.Dot(f.Centre, d) - from; x > -rasterPitch && f.Area > minBlockFace && c.facedBy(e, f.Outline) {
			open = min(open, max(x, 0))
		}
	}
	for _, i := range set {
		if f := &s.surfaces[i]; math.Abs(r3.Dot(f.Plane.Normal, d)) < math.Sin(blockSquare) {
			open = min(open, s.passedBeyond(i, d, from, open))
		}
	}
	return open
}

// facedBy tells whether the corners lie behind end e of the crate, seen along it.
func (c *crate) facedBy(e int, corners []r3.Vec) bool {
	for a := range 3 {
		if a == e/2 {
			continue
		}
		axis := c.r.Axis(a)
		lo, hi := span(corners, axis)
		if hi < -c.ends[2*a].Offset || lo > c.ends[2*a+1].Offset {
			return false
		}
	}
	return true
}

// passedBeyond is how far beyond from along d the first rays went past face i, in
// its plane and beside what was seen of it, or limit where too few did.
func (s *survey) passedBeyond(i int, d r3.Vec, from, limit float64) float64 {
	f := &s.surfaces[i]
	n := f.Plane.Normal
	x := level(d, n)
	frame := f.Plane.Frame(f.Centre)
	frame.R = geom.RotFromAxes(x, r3.Cross(n, x), n)
	strip := projectOn(frame, f.Outline)
	if strip.size(1) > 4*rasterPitch {
		strip.lo[1], strip.hi[1] = strip.lo[1]+rasterPitch, strip.hi[1]-rasterPitch
	}
	base := r3.Dot(frame.T, d) - from
	strip.lo[0], strip.hi[0] = -base, limit-base
	past := s.passing(frame, strip, 0)
	if len(past) <= bracketStrays {
		return limit
	}
	slices.Sort(past)
	return max(past[robustly(len(past))]+base, 0)
}

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

// A machine without a sheet in front is known by what a box leaves of it: two
// upright faces that look at each other and end toward the scanner at one depth,
// with rays that went past the ends or strips of a front on them, and a back
// between them. Its front is the plane in which the sides end.

// cheek is a side of such a box, seen from within.
type cheek struct {
	group  []int
	plane  bound
	frame  geom.Pose // X into the machine, Z along the normal
	extent rect
	rim    border // where it ends in front, along X
	ends   bool   // rays went past there
	free   bool   // and along a straight stretch of it
}

// sideGap is how far the pieces of one side may be apart, mm: what stands in the
// machine hides that much of it.
const sideGap = 1000

// minDepth is the least depth of a machine, mm: lockers and shelves are up to 600
// deep, machine tools deeper than 800 (common practice).
const minDepth = 700

// findMouths lists the open fronts between two sides.
func (s *survey) findMouths() []front {
	groups := s.groups(s.free(func(f *surface.Surface) bool { return s.upright(f) && f.Area > minInner }), sideGap)
	var pairs [][2][]int
	for i, g := range groups {
		for _, h := range groups[i+1:] {
			if s.faceEachOther(g, h) {
				pairs = append(pairs, [2][]int{g, h})
			}
		}
	}
	all, ok := make([]front, len(pairs)), make([]bool, len(pairs))
	cores.Each(len(pairs), func(i int) { all[i], ok[i] = s.mouthBetween(pairs[i][0], pairs[i][1]) })
	var out []front
	for i := range all {
		if ok[i] {
			out = append(out, all[i])
		}
	}
	slices.SortStableFunc(out, func(a, b front) int { return cmp.Compare(b.extent.area(), a.extent.area()) })
	return out
}

// faceEachOther tells whether two faces look at each other, as far apart as the
// sides of a machine are.
func (s *survey) faceEachOther(g, h []int) bool {
	a, b := &s.surfaces[g[0]], &s.surfaces[h[0]]
	if r3.Dot(a.Plane.Normal, b.Plane.Normal) > -math.Cos(square) {
		return false
	}
	wide := a.Plane.Distance(b.Centre)
	return wide > minFrontWidth && wide < maxFrontWidth && b.Plane.Distance(a.Centre) > 0
}

// mouthBetween is the open front between two faces that look at each other.
func (s *survey) mouthBetween(g, h []int) (front, bool) {
	n := s.surfaces[g[0]].Plane.Normal
	x := r3.Unit(r3.Cross(n, s.up))
	if middle := r3.Scale(0.5, r3.Add(s.surfaces[g[0]].Centre, s.surfaces[h[0]].Centre)); r3.Dot(x, r3.Sub(middle, s.eyeOf(g))) < 0 {
		x = r3.Scale(-1, x)
	}
	l, r := s.cheekOf(g, x), s.cheekOf(h, x)
	if r3.Dot(r3.Cross(s.up, x), n) > 0 { // the left one looks to the right
		l, r = r, l
	}
	depthOf := func(c *cheek) float64 { return r3.Dot(x, c.at()) }
	off := depthOf(&l) - depthOf(&r)
	if l.extent.size(0) < minOpening || r.extent.size(0) < minOpening || math.Abs(off) > sideGap {
		return front{}, false
	}
	strips := s.stripsOn(&l, &r, x)
	switch {
	case math.Abs(off) > corner && (strips == nil || !s.goesOn(strips, &l, &r, off)):
		return front{}, false
	case strips == nil && !l.endsWith(&r, off):
		return front{}, false
	}
	f := front{pieces: strips, mouth: true}
	f.face = edgeFace(&l, &r, x, s.up)
	if strips != nil {
		f.face = s.fused(strips)
	}
	f.frame = s.footing(f.face)
	if f.frame.Inverse().Apply(s.eyeOf(g)).X > 0 { // a room, seen from within
		return f, false
	}
	f.extent = s.between(&f, &l, &r)
	return f, f.extent.hi[1] > minFrontHeight && f.extent.hi[1] < maxFrontHeight && s.readOpening(&f) && !s.underCeiling(&f)
}

// underCeiling tells whether the opening ends above at a ceiling, one that goes on
// before it: what lies between a fence and a wall is the room. A machine's own roof
// begins at its front.
func (s *survey) underCeiling(f *front) bool {
	return slices.ContainsFunc(s.surfaces, func(p surface.Surface) bool {
		lo, hi := f.box(p.Outline)
		over := lo.X < -corner && hi.X > 0 && lo.Y < -f.hole.lo[0] && hi.Y > -f.hole.hi[0]
		return over && math.Abs((lo.Z+hi.Z)/2-f.hole.hi[1]) < borderReach && s.overhead(&p)
	})
}

// eyeOf is the mean place that a group was seen from.
func (s *survey) eyeOf(group []int) r3.Vec {
	var sum r3.Vec
	total := 0.0
	for _, i := range group {
		for _, k := range s.surfaces[i].Voxels {
			v := &s.cloud.Voxels[k]
			sum = r3.Add(sum, r3.Scale(s.weight[k], v.Eye()))
			total += s.weight[k]
		}
	}
	return r3.Scale(1/max(total, 1), sum)
}

// cheekOf reads where a face ends against x.
func (s *survey) cheekOf(group []int, x r3.Vec) cheek {
	c := cheek{group: group, plane: s.fused(group)}
	n := c.plane.Normal
	along := r3.Unit(r3.Sub(x, r3.Scale(r3.Dot(x, n), n)))
	c.frame = geom.Pose{R: geom.RotFromAxes(along, r3.Cross(n, along), n), T: c.plane.Centre}
	region := projectOn(c.frame, s.corners(group))
	sheet := s.newSheet(c.frame, region.grown(bracketReach), group)
	c.extent = sheet.raster(region).solid()
	b, ok := sheet.find(search{axis: 0, solid: 1, guess: c.extent.lo[0], reach: borderReach, from: c.extent.lo[1], to: c.extent.hi[1]})
	c.ends = ok && b.open && b.closed
	c.free = c.ends && b.straight
	c.rim = b
	if !c.ends {
		c.rim = border{at: c.extent.lo[0], sigma: rasterPitch}
	}
	return c
}

// endsWith tells whether two cheeks end in one plane, off mm apart: either in a
// straight end, or one of them, and the other just there as far as it was seen.
func (c *cheek) endsWith(o *cheek, off float64) bool {
	if c.free && o.free {
		return true
	}
	together := math.Abs(off) < 3*math.Sqrt(c.sigma2()+o.sigma2())+sheetSlack
	return (c.free || o.free) && c.ends && o.ends && together
}

// goesOn tells whether the cheek that was seen to begin off mm behind the other may
// go on to the strips: no ray went past where it begins, for something hides the
// rest, and the strips stand as high as the sides. The walls of a room are higher
// than what stands between them.
func (s *survey) goesOn(strips []int, l, r *cheek, off float64) bool {
	deeper := l
	if off < 0 {
		deeper = r
	}
	_, top := span(s.corners(strips), s.up)
	for _, c := range [2]*cheek{l, r} {
		if _, high := span(s.corners(c.group), s.up); math.Abs(high-top) > corner {
			return false
		}
	}
	return !deeper.ends
}

// at is the middle of the cheek's front end.
func (c *cheek) at() r3.Vec {
	return c.frame.Apply(r3.Vec{X: c.rim.at, Y: (c.extent.lo[1] + c.extent.hi[1]) / 2})
}

// stripsOn lists the pieces of one upright face that looks out of the mouth where
// the cheeks end, and runs up to one of them: strips beside the opening, a sill, a
// lintel. The bed of the machine stands apart from its sides.
func (s *survey) stripsOn(l, r *cheek, x r3.Vec) []int {
	y := r3.Cross(s.up, x)
	in := func(f *surface.Surface) bool {
		lo, hi := span(f.Outline, y)
		return lo > r3.Dot(r.at(), y)-sheetMetal && hi < r3.Dot(l.at(), y)+sheetMetal
	}
	near := min(r3.Dot(x, l.at()), r3.Dot(x, r.at()))
	for _, g := range s.groups(s.free(func(f *surface.Surface) bool {
		return s.frontLike(f) && r3.Dot(f.Plane.Normal, x) < -math.Cos(leafTurn) && math.Abs(r3.Dot(x, f.Centre)-near) < corner && in(f)
	}), maxFrontWidth) {
		lo, hi := span(s.corners(g), y)
		joins := lo < r3.Dot(r.at(), y)+sheetMetal || hi > r3.Dot(l.at(), y)-sheetMetal
		if joins && s.area(g) > minInner && s.surfaces[g[0]].Plane.Distance(l.at()) < borderReach && s.surfaces[g[0]].Plane.Distance(r.at()) < borderReach {
			return g
		}
	}
	return nil
}

// edgeFace is the plane through the front ends of the cheeks. How far it leans
// their slopes tell.
func edgeFace(l, r *cheek, x, up r3.Vec) bound {
	across := r3.Sub(l.at(), r.at())
	wide := r3.Norm(across)
	ls, lv := l.slope(up)
	rs, rv := r.slope(up)
	slope := (ls*rv + rs*lv) / (lv + rv)
	y := r3.Unit(across)
	z := r3.Unit(r3.Add(r3.Sub(up, r3.Scale(r3.Dot(up, y), y)), r3.Scale(slope, x)))
	n := r3.Cross(z, y) // against x
	b := bound{Centre: r3.Scale(0.5, r3.Add(l.at(), r.at()))}
	b.Plane = geom.Plane{Normal: n, Offset: r3.Dot(n, b.Centre)}
	sum := l.sigma2() + r.sigma2()
	b.Cov[0][0], b.Cov[1][1], b.Cov[2][2] = sum/4, lv*rv/(lv+rv), sum/(wide*wide)
	return b
}

// slope is how the front end moves along the machine's X with height, and the
// variance of that.
func (c *cheek) slope(up r3.Vec) (slope, variance float64) {
	if !c.free {
		return 0, maxLean * maxLean / 3
	}
	sign := 1.0
	if r3.Dot(c.frame.R.Axis(1), up) < 0 {
		sign = -1
	}
	return sign * c.rim.slope, c.rim.slopeSigma * c.rim.slopeSigma
}

// sigma2 is the variance of where the cheek ends.
func (c *cheek) sigma2() float64 { return c.rim.sigma*c.rim.sigma + c.plane.Cov[0][0] }

// between is the rectangle on a mouth's sheet from the floor to where the higher
// of its cheeks was seen to end, and from one to the other.
func (s *survey) between(f *front, l, r *cheek) rect {
	out := rect{lo: [2]float64{0: math.Inf(1)}, hi: [2]float64{0: math.Inf(-1)}}
	sheet := sheetOf(f.frame)
	for _, c := range [2]*cheek{l, r} {
		y := crossing(c.plane.Plane, c.at(), sheet.R.Axis(0)) + r3.Dot(r3.Sub(c.at(), sheet.T), sheet.R.Axis(0))
		out.lo[0], out.hi[0] = min(out.lo[0], y), max(out.hi[0], y)
		_, top := span(s.corners(c.group), sheet.R.Axis(1))
		out.hi[1] = max(out.hi[1], top-r3.Dot(sheet.T, sheet.R.Axis(1)))
	}
	return out
}

// endingOn lists the surfaces that end in the plane of a mouth.
func (s *survey) endingOn(f *front) []int {
	var out []int
	for i := range s.surfaces {
		if p := &s.surfaces[i]; p.Cylinder == nil {
			lo, hi := f.box(p.Outline)
			if math.Abs(lo.X) < borderReach && hi.X > lo.X && hi.Y > -f.extent.hi[0]-corner && lo.Y < -f.extent.lo[0]+corner {
				out = append(out, i)
			}
		}
	}
	return out
}

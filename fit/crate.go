package fit

import (
	"math"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// crate is a box by what ends it in each direction: a face, or the place where
// the other faces were seen to end.
type crate struct {
	r      geom.Rot // baseFromBox
	ends   [6]bound // -X, +X, -Y, +Y, -Z, +Z
	faces  [6]int   // the surface that ends it, -1 where none does
	stands bool     // on the floor, though no face was seen to end it there
	base   []bound  // what its axes rest on: the largest upright face, the floor
}

// endSigma is the standard uncertainty of an end without a face, mm: uniform
// over the gap by which faces may be seen to end short of their edge.
var endSigma = blockGap / math.Sqrt(12)

// crateOf is the crate about a set of faces, square to its largest upright face
// and to the floor. It goes down to the floor where that is near.
func (s *survey) crateOf(set []int) (crate, bool) {
	wall := s.largest(set, s.upright)
	if wall < 0 {
		return crate{}, false
	}
	c := crate{base: []bound{boundOf(&s.surfaces[wall])}}
	x := level(s.surfaces[wall].Plane.Normal, s.up)
	c.r = geom.RotFromAxes(x, r3.Cross(s.up, x), s.up)
	if s.floor != nil {
		c.base = append(c.base, *s.floor)
	}
	for e := range c.ends {
		c.ends[e], c.faces[e] = s.endAlong(set, c.outward(e))
	}
	if s.floor != nil && c.faces[4] < 0 {
		foot := s.height(c.ends[4].Centre)
		if foot < standsWithin {
			c.stands = true
			c.ends[4] = *s.floor
			c.ends[4].Normal, c.ends[4].Offset = r3.Scale(-1, s.floor.Normal), -s.floor.Offset
		}
	}
	return c, true
}

// standsWithin is how far above the floor a block's faces may be seen to end
// and it still stands on the floor, mm: a plinth, feet, or a low view.
const standsWithin = 150

// level is the direction d without its part along up.
func level(d, up r3.Vec) r3.Vec { return r3.Unit(r3.Sub(d, r3.Scale(r3.Dot(d, up), up))) }

// outward is the direction of end e.
func (c *crate) outward(e int) r3.Vec { return r3.Scale(float64(2*(e%2)-1), c.r.Axis(e/2)) }

// largest is the surface of the set with the greatest area that passes test, -1
// where none does.
func (s *survey) largest(set []int, test func(*surface.Surface) bool) int {
	best := -1
	for _, i := range set {
		if f := &s.surfaces[i]; test(f) && (best < 0 || f.Area > s.surfaces[best].Area) {
			best = i
		}
	}
	return best
}

// endAlong is the outermost face of a set that looks along d, or else the place
// where the set ends that way.
func (s *survey) endAlong(set []int, d r3.Vec) (bound, int) {
	face, most, far := -1, math.Inf(-1), math.Inf(-1)
	var at r3.Vec
	for _, i := range set {
		f := &s.surfaces[i]
		if x := r3.Dot(f.Centre, d); r3.Dot(f.Plane.Normal, d) > math.Cos(blockSquare) && x > most {
			face, most = i, x
		}
		for _, p := range f.Outline {
			if x := r3.Dot(p, d); x > far {
				far, at = x, p
			}
		}
	}
	if face >= 0 {
		return boundOf(&s.surfaces[face]), face
	}
	return edgeBound(d, at, endSigma), -1
}

// box is the crate as a box.
func (c *crate) box() geom.Box {
	pose, size := c.shape(planesOf(c.ends[:]), c.r)
	return geom.Box{Pose: pose, Size: size}
}

// shape is the box with axes r between six planes, each taken where the axis
// through the middle of their centres meets it.
func (c *crate) shape(ends []geom.Plane, r geom.Rot) (geom.Pose, r3.Vec) {
	mid := c.middle()
	pose := geom.Pose{R: r, T: mid}
	var size [3]float64
	for a := range 3 {
		axis := r.Axis(a)
		lo, hi := crossing(ends[2*a], mid, axis), crossing(ends[2*a+1], mid, axis)
		size[a] = hi - lo
		pose.T = r3.Add(pose.T, r3.Scale((lo+hi)/2, axis))
	}
	return pose, r3.Vec{X: size[0], Y: size[1], Z: size[2]}
}

// middle of the ends' centres.
func (c *crate) middle() r3.Vec {
	var sum r3.Vec
	for _, e := range c.ends {
		sum = r3.Add(sum, e.Centre)
	}
	return r3.Scale(1.0/6, sum)
}

// crossing is how far from p along d the plane lies.
func crossing(pl geom.Plane, p, d r3.Vec) float64 { return -pl.Distance(p) / r3.Dot(pl.Normal, d) }

// block is the object: datum in the middle of the box.
func (s *survey) block(c crate, set []int) Object {
	o := Object{Kind: Block, Parts: []geom.Box{c.box()}, Measures: map[string]Measure{}, NotSeen: s.openSides(&c, set)}
	from := append(append([]bound{}, c.ends[:]...), c.base...)
	build := func(p []geom.Plane) (geom.Pose, bool) {
		pose, _ := c.shape(p[:6], c.axes(p[6:], s.up))
		return pose, true
	}
	o.Pose, o.Cov, _ = datum(from, build)
	o.Budget = budget(from, build)
	for a, name := range [3]string{"depth_mm", "width_mm", "height_mm"} {
		m, _ := measure(c.ends[2*a:2*a+2], func(p []geom.Plane) (float64, bool) {
			mid := c.middle()
			return crossing(p[1], mid, c.r.Axis(a)) - crossing(p[0], mid, c.r.Axis(a)), true
		})
		o.Measures[name] = m
	}
	s.takeFaces(&o, c, set)
	return o
}

// axes are the box's axes from its largest upright face and the floor.
func (c *crate) axes(base []geom.Plane, up r3.Vec) geom.Rot {
	if len(base) > 1 {
		up = base[1].Normal
	}
	x := level(base[0].Normal, up)
	return geom.RotFromAxes(x, r3.Cross(up, x), up)
}

// takeFaces gives the block its faces: front (the largest upright one looks
// along X), back, left, right, top, bottom; further pieces get a number.
func (s *survey) takeFaces(o *Object, c crate, set []int) {
	named, order := map[string][]int{}, []string(nil)
	for _, i := range sortedBy(set, func(i int) float64 { return -s.surfaces[i].Area }) {
		name := "face"
		for e, label := range [6]string{"back", "front", "right", "left", "bottom", "top"} {
			if r3.Dot(s.surfaces[i].Plane.Normal, c.outward(e)) > math.Cos(blockSquare) {
				name = label
			}
		}
		if named[name] == nil {
			order = append(order, name)
		}
		named[name] = append(named[name], i)
	}
	for _, name := range order {
		s.takeGroup(o, name, named[name])
	}
}

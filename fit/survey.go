package fit

import (
	"math"
	"slices"

	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// survey is the cloud with its surfaces while they are dealt out to objects.
type survey struct {
	cloud    *mapping.Cloud
	surfaces []surface.Surface
	taken    []bool  // surfaces that an object has, as surfaces
	owner    []int32 // the surface that a voxel belongs to, -1 where to none
	up       r3.Vec  // floor normal; base Z where no floor was seen
	floor    *bound  // nil where no floor was seen
	weight   []float64
	bundles  []bundle
	total    float64 // sum of the weight of what belongs to a surface
}

func newSurvey(cloud *mapping.Cloud, surfaces []surface.Surface) *survey {
	s := &survey{
		cloud:    cloud,
		surfaces: surfaces,
		taken:    make([]bool, len(surfaces)),
		up:       r3.Vec{Z: 1},
		weight:   make([]float64, len(cloud.Voxels)),
		owner:    make([]int32, len(cloud.Voxels)),
	}
	for i := range cloud.Voxels {
		s.owner[i] = -1
		s.weight[i] = areaWeight(&cloud.Voxels[i])
	}
	for i := range surfaces {
		for _, v := range surfaces[i].Voxels {
			s.owner[v] = int32(i)
			s.total += s.weight[v]
		}
	}
	s.bundles = bundlesOf(cloud.Voxels)
	return s
}

// onFace tells whether voxel v belongs to a surface of the group, or to none.
func (s *survey) onFace(v int, group []int) bool {
	return s.owner[v] < 0 || slices.Contains(group, int(s.owner[v]))
}

// areaWeight stands for the surface that a voxel saw, mm^2, so that a close
// pass with a thousand times the points does not outvote the room. A voxel of
// a single point may be a stray and has no say.
func areaWeight(v *mapping.Voxel) float64 {
	if v.N < 2 {
		return 0
	}
	e := float64(v.Edge)
	return e * e
}

// height of p above the floor, or above the base's XY plane without one, mm.
func (s *survey) height(p r3.Vec) float64 {
	if s.floor == nil {
		return p.Z
	}
	return s.floor.Distance(p)
}

// free lists the surfaces that no object has yet and that pass the test.
func (s *survey) free(test func(*surface.Surface) bool) []int {
	var out []int
	for i := range s.surfaces {
		if !s.taken[i] && test(&s.surfaces[i]) {
			out = append(out, i)
		}
	}
	return out
}

// everyPlane lists the planes whose normal is n, whoever has them.
func (s *survey) everyPlane(n r3.Vec) []int {
	var out []int
	for i := range s.surfaces {
		if looks(&s.surfaces[i], n) {
			out = append(out, i)
		}
	}
	return out
}

// take gives surface i to an object as a face.
func (s *survey) take(name string, i int) Face {
	s.taken[i] = true
	return Face{Name: name, Surface: s.surfaces[i]}
}

// within lists the free surfaces that lie in one of the boxes grown by skin mm.
func (s *survey) within(boxes []geom.Box, skin float64) []int {
	return s.free(func(f *surface.Surface) bool {
		return slices.ContainsFunc(boxes, func(b geom.Box) bool { return holds(b.Grown(skin), f.Outline) })
	})
}

// holds tells whether all points lie in the box.
func holds(b geom.Box, points []r3.Vec) bool {
	return !slices.ContainsFunc(points, func(p r3.Vec) bool { return !b.Contains(p) })
}

// takeNamed gives o the free surfaces in the boxes as name-1, name-2, …
func (s *survey) takeNamed(o *Object, name string, boxes []geom.Box, skin float64) {
	for n, i := range s.within(boxes, skin) {
		o.Faces = append(o.Faces, s.take(numbered(name, n+1), i))
	}
}

// A plane counts as upright or level within this angle of the floor: the floor
// itself drains at 1 to 2 degrees and sheet metal stands within one (common
// practice); the rest is for small faces, whose own tilt is known to a degree.
const square = 5 * math.Pi / 180

// upright tells whether f is a plane that stands on edge.
func (s *survey) upright(f *surface.Surface) bool {
	return f.Cylinder == nil && math.Abs(r3.Dot(f.Plane.Normal, s.up)) < math.Sin(square)
}

// level tells whether f is a plane that lies flat and is seen from above.
func (s *survey) level(f *surface.Surface) bool {
	return f.Cylinder == nil && r3.Dot(f.Plane.Normal, s.up) > math.Cos(square)
}

// heights is the least and greatest height of a surface's outline, mm.
func (s *survey) heights(f *surface.Surface) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range f.Outline {
		h := s.height(p)
		lo, hi = min(lo, h), max(hi, h)
	}
	return lo, hi
}

// behind is the share of all surfaces seen which lies more than gap mm behind the
// plane. Strays are no surface: spread over all space, one in a hundred points
// fills as many voxels as the surfaces do.
func (s *survey) behind(pl geom.Plane, gap float64) float64 {
	sum := 0.0
	for i := range s.cloud.Voxels {
		if s.owner[i] >= 0 && s.weight[i] > 0 && pl.Distance(s.cloud.Voxels[i].Mean) < -gap {
			sum += s.weight[i]
		}
	}
	return sum / s.total
}

// span is how far points reach along direction d from the base's origin, mm.
func span(points []r3.Vec, d r3.Vec) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, p := range points {
		x := r3.Dot(p, d)
		lo, hi = min(lo, x), max(hi, x)
	}
	return lo, hi
}

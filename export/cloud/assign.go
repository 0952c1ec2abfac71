// Package cloud writes the merged cloud, thinned to one point a voxel, with what
// the map makes of every point.
package cloud

import (
	"math"

	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// none is the object of a point that belongs to none.
const none = -1

// point is what is written of a voxel.
type point struct {
	at, normal r3.Vec
	residual   float64 // from its surface, along the normal, mm; NaN where it lies on none
	object     int
	scan       int32
	merged     int64 // measured points that it stands for
}

// assign gives every voxel its surface and object: the one whose face was fitted
// to it, or else the first whose solid, grown by the margin, holds it.
func assign(c *mapping.Cloud, s *scene.Scene) []point {
	on := make([]*surface.Surface, len(c.Voxels))
	object := make([]int, len(c.Voxels))
	for i := range object {
		object[i] = none
	}
	for i := range s.Objects {
		for j := range s.Objects[i].Faces {
			f := &s.Objects[i].Faces[j].Surface
			for _, v := range f.Voxels {
				on[v], object[v] = f, i
			}
		}
	}
	bodies := bodiesOf(s)
	out := make([]point, len(c.Voxels))
	cores.Each(len(out), func(i int) {
		v := &c.Voxels[i]
		if object[i] == none {
			object[i] = holder(bodies, v.Mean)
		}
		out[i] = point{at: v.Mean, object: object[i], scan: v.Scan, merged: int64(math.Round(v.N))}
		out[i].normal, out[i].residual = relation(v, on[i])
	})
	return out
}

// body is a solid of an object with the box that it lies in once grown.
type body struct {
	solid.Solid
	margin float64
	bounds geom.Bounds
	object int
}

func bodiesOf(s *scene.Scene) []body {
	var out []body
	for i, o := range s.Objects {
		for _, p := range o.Solids {
			out = append(out, body{p, o.Margin, p.Bounds(o.Margin), i})
		}
	}
	return out
}

// holder is the first object with a solid round p.
func holder(bodies []body, p r3.Vec) int {
	for i := range bodies {
		b := &bodies[i]
		if p.X >= b.bounds.Min.X && p.X <= b.bounds.Max.X && p.Y >= b.bounds.Min.Y && p.Y <= b.bounds.Max.Y &&
			p.Z >= b.bounds.Min.Z && p.Z <= b.bounds.Max.Z && b.Contains(p, b.margin) {
			return b.object
		}
	}
	return none
}

// relation is the normal at a voxel and how far its mean lies off its surface.
// Off every surface the normal is that of the voxel's own points, where there
// are enough of them to lie in a plane, and else zero.
func relation(v *mapping.Voxel, f *surface.Surface) (normal r3.Vec, residual float64) {
	const enough = 4
	switch {
	case f != nil && f.Cylinder != nil:
		return round(f, v.Mean)
	case f != nil:
		return f.Plane.Normal, f.Plane.Distance(v.Mean)
	case v.N < enough:
		return r3.Vec{}, math.NaN()
	}
	pl, _ := v.Plane()
	return pl.Facing(v.Eye()).Normal, math.NaN()
}

// round is relation for a cylinder; its normal points to the side on which the
// surface's own does.
func round(f *surface.Surface, p r3.Vec) (r3.Vec, float64) {
	c := f.Cylinder
	from := func(p r3.Vec) r3.Vec {
		d := r3.Sub(p, c.Point)
		return r3.Sub(d, r3.Scale(r3.Dot(d, c.Axis), c.Axis))
	}
	d := from(p)
	r := r3.Norm(d)
	if r == 0 {
		return r3.Vec{}, -c.Radius
	}
	side := 1.0
	if r3.Dot(from(f.Centre), f.Plane.Normal) < 0 { // seen from within
		side = -1
	}
	return r3.Scale(side/r, d), side * (r - c.Radius)
}

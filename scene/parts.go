package scene

import (
	"cmp"
	"math"
	"slices"

	"cellwall/fit"
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// explained is the share of a face's voxels that earlier solids must hold for
// the face to need none of its own. The few others go to the remainder.
const explained = 0.9

// solids of one object: the boxes and round bars that it is made of, then slabs
// behind those of its faces that these do not explain, large faces first. The
// second side of a sheet is explained by the slab of the first.
func (b *builder) solids(o *fit.Object) ([]solid.Solid, error) {
	out, err := parts(o)
	if err != nil {
		return nil, err
	}
	faces := make([]*fit.Face, len(o.Faces))
	for i := range o.Faces {
		faces[i] = &o.Faces[i]
		if b.bar(o.Kind, &o.Faces[i].Surface) {
			out = append(out, b.cylinder(&o.Faces[i].Surface))
		}
	}
	slices.SortStableFunc(faces, func(p, q *fit.Face) int { return cmp.Compare(q.Area, p.Area) })
	for _, f := range faces {
		if f.Cylinder != nil || len(f.Outline) < 3 || len(f.Voxels) > 0 && b.explains(out, f.Voxels) {
			continue
		}
		slabs, err := b.slabs(&f.Surface, beforeDoor(o, &f.Surface), doorway(o, &f.Surface)...)
		if err != nil {
			return nil, err
		}
		out = append(out, slabs...)
	}
	return out, nil
}

// explains tells whether nearly all of the voxels lie in one or another of the
// solids.
func (b *builder) explains(solids []solid.Solid, voxels []int32) bool {
	allowed := int(float64(len(voxels)) * (1 - explained))
	for _, i := range voxels {
		held := slices.ContainsFunc(solids, func(s solid.Solid) bool {
			return s.Holds(b.cloud.Voxels[i].Bounds, b.cover.margin)
		})
		if held {
			continue
		}
		if allowed--; allowed < 0 {
			return false
		}
	}
	return true
}

// parts are the object's boxes, none thinner than sheet metal, and its hulls.
func parts(o *fit.Object) ([]solid.Solid, error) {
	var out []solid.Solid
	for _, p := range o.Parts {
		p.Size = r3.Vec{X: max(leastThick, p.Size.X), Y: max(leastThick, p.Size.Y), Z: max(leastThick, p.Size.Z)}
		out = append(out, solid.Box{Box: p})
	}
	for _, corners := range o.Hulls {
		h, err := solid.NewHull(corners)
		if err != nil {
			return nil, err
		}
		out = append(out, h)
	}
	return out, nil
}

// bar tells whether a cylinder is taken for a round bar: seen from outside, and a
// post, or no thicker than a slab goes behind what was seen. The
// voxels of others go to the remainder.
func (b *builder) bar(kind fit.Kind, s *surface.Surface) bool {
	if s.Cylinder == nil || kind != fit.Post && 2*s.Cylinder.Radius > b.behind {
		return false
	}
	return r3.Dot(s.Plane.Normal, across(s.Cylinder, s.Centre)) > 0
}

// across is p's offset from the cylinder's axis.
func across(c *surface.Cylinder, p r3.Vec) r3.Vec {
	d := r3.Sub(p, c.Point)
	return r3.Sub(d, r3.Scale(r3.Dot(d, c.Axis), c.Axis))
}

// cylinder is the solid of a round bar: as long as its voxels reach along the axis,
// or as the surface says where it names none.
func (b *builder) cylinder(s *surface.Surface) solid.Solid {
	c := s.Cylinder
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, i := range s.Voxels {
		v := &b.cloud.Voxels[i]
		lo = min(lo, -reach(v.Bounds, r3.Scale(-1, c.Axis)))
		hi = max(hi, reach(v.Bounds, c.Axis))
	}
	if len(s.Voxels) == 0 {
		mid := r3.Dot(s.Centre, c.Axis)
		lo, hi = mid-c.Length/2, mid+c.Length/2
	}
	foot := r3.Sub(c.Point, r3.Scale(r3.Dot(c.Point, c.Axis), c.Axis))
	return solid.Cylinder{
		Centre: r3.Add(foot, r3.Scale((lo+hi)/2, c.Axis)), Axis: c.Axis,
		Radius: c.Radius, Height: max(leastThick, hi-lo),
	}
}

// reach of an axis-aligned box along the unit vector n.
func reach(b geom.Bounds, n r3.Vec) float64 {
	return max(n.X*b.Min.X, n.X*b.Max.X) + max(n.Y*b.Min.Y, n.Y*b.Max.Y) + max(n.Z*b.Min.Z, n.Z*b.Max.Z)
}

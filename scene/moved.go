package scene

import (
	"fmt"
	"slices"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// MovedBy is the object where a motion, toFromOld in base axes, takes it. Its
// covariances stay those of its own map. It fails where a solid cannot be built
// there.
func (o *Object) MovedBy(by geom.Pose) (Object, error) {
	out := *o
	if o.Kind != Remainder {
		out.Pose, out.Cov = by.Mul(o.Pose), o.Cov.Turned(by.R)
	}
	out.Solids = make([]solid.Solid, len(o.Solids))
	for i, s := range o.Solids {
		var err error
		if out.Solids[i], err = movedSolid(s, by); err != nil {
			return Object{}, err
		}
	}
	out.Faces, out.Parts = slices.Clone(o.Faces), slices.Clone(o.Parts)
	for i := range out.Faces {
		out.Faces[i] = movedFace(out.Faces[i], by)
	}
	for i := range out.Parts {
		out.Parts[i].Pose = by.Mul(out.Parts[i].Pose)
	}
	return out, nil
}

func movedSolid(s solid.Solid, by geom.Pose) (solid.Solid, error) {
	switch s := s.(type) {
	case solid.Box:
		s.Pose = by.Mul(s.Pose)
		return s, nil
	case solid.Cylinder:
		s.Centre, s.Axis = by.Apply(s.Centre), by.R.Apply(s.Axis)
		return s, nil
	case *solid.Prism:
		return solid.NewPrism(movedAll(s.Outline(), by), by.R.Apply(s.Direction()), s.Height())
	case *solid.Hull:
		return solid.NewHull(movedAll(s.Vertices(), by))
	}
	return nil, fmt.Errorf("a solid of type %T cannot be moved", s)
}

func movedAll(points []r3.Vec, by geom.Pose) []r3.Vec {
	out := make([]r3.Vec, len(points))
	for i, p := range points {
		out[i] = by.Apply(p)
	}
	return out
}

// movedFace is the face there. Its covariances, which are told along axes of the
// plane that depend on base, are turned with it.
func movedFace(f fit.Face, by geom.Pose) fit.Face {
	before := f.Plane.Frame(f.Centre)
	n := by.R.Apply(f.Plane.Normal)
	f.Centre = by.Apply(f.Centre)
	f.Plane = geom.Plane{Normal: n, Offset: r3.Dot(n, f.Centre)}
	f.Outline = movedAll(f.Outline, by)
	f.Holes = slices.Clone(f.Holes)
	for i := range f.Holes {
		f.Holes[i] = movedAll(f.Holes[i], by)
	}
	if f.Cylinder != nil {
		c := *f.Cylinder
		c.Point, c.Axis = by.Apply(c.Point), by.R.Apply(c.Axis)
		f.Cylinder = &c
	}
	now := f.Plane.Frame(f.Centre).R
	u := by.R.Apply(before.R.Axis(0))
	cos, sin := r3.Dot(u, now.Axis(0)), r3.Dot(u, now.Axis(1))
	j := [3][3]float64{{1, 0, 0}, {0, cos, -sin}, {0, sin, cos}}
	for _, c := range [5]*[3][3]float64{(*[3][3]float64)(&f.Cov), (*[3][3]float64)(&f.Budget.Noise), (*[3][3]float64)(&f.Budget.Sweep), (*[3][3]float64)(&f.Budget.Arm), (*[3][3]float64)(&f.Budget.Mount)} {
		*c = through(j, *c)
	}
	return f
}

// through is J C J^T.
func through(j, c [3][3]float64) (out [3][3]float64) {
	for a := range 3 {
		for b := range 3 {
			for k := range 3 {
				for l := range 3 {
					out[a][b] += j[a][k] * c[k][l] * j[b][l]
				}
			}
		}
	}
	return out
}

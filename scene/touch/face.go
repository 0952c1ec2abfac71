package touch

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"cellwall/fit"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom/flat"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// farthest is how far in front of a surface, or behind it, a touch may lie and
// still be taken for one of it, mm: more is another surface, or another frame. How
// far aside says nothing: a scan may have left out where it was touched.
const farthest = 50

// faceOf is the surface that a touch names, or the nearest of the object that it
// names.
func faceOf(s *scene.Scene, p Point, file string) (*fit.Face, error) {
	i := slices.IndexFunc(s.Objects, func(o scene.Object) bool { return o.Name == p.Object })
	if i < 0 {
		return nil, p.wrong(file, "object", fmt.Sprintf("the map has no object %q", p.Object), "it has "+listed(objects(s)))
	}
	o := &s.Objects[i]
	var best *fit.Face
	least, off := math.Inf(1), 0.0
	for k := range o.Faces {
		f := &o.Faces[k]
		if p.Surface != "" && f.Name != p.Surface {
			continue
		}
		h := hold(p, f, 0.5)
		if far := math.Hypot(h.Distance, h.Outside); far < least {
			best, least, off = f, far, math.Abs(h.Distance)
		}
	}
	switch {
	case best == nil && p.Surface != "":
		return nil, p.wrong(file, "surface", fmt.Sprintf("%s has no surface %q in the map", p.Object, p.Surface), "it has "+listed(faces(o)))
	case best == nil:
		return nil, p.wrong(file, "object", p.Object+" has no fitted surface in the map", "touch another object, or scan this one better")
	case off > farthest:
		return nil, p.wrong(file, p.Name, fmt.Sprintf("it lies %.0f mm from %s %s, and a touch lies on what it touches", off, p.Object, best.Name),
			"check the frame in which it was read (base, mm), the name, and the pointer's tool data")
	}
	return best, nil
}

func (p Point) wrong(file, where, rule, remedy string) error {
	return &fault.Error{File: file, Line: p.Line, Where: where, Rule: rule, Remedy: remedy}
}

// listed are names, or that there are none.
func listed(names []string) string {
	if len(names) == 0 {
		return "none that was fitted"
	}
	return strings.Join(names, ", ")
}

func objects(s *scene.Scene) []string {
	var out []string
	for _, o := range s.Objects {
		if len(o.Faces) > 0 {
			out = append(out, o.Name)
		}
	}
	return out
}

func faces(o *scene.Object) []string {
	var out []string
	for _, f := range o.Faces {
		out = append(out, f.Name)
	}
	return out
}

// outside is how far the foot of p lies beyond the outline, mm; 0 within.
func outside(f *fit.Face, p r3.Vec) float64 {
	frame := f.Plane.Frame(f.Centre)
	in := frame.Inverse()
	ring := make([]r2.Vec, len(f.Outline))
	for i, c := range f.Outline {
		q := in.Apply(c)
		ring[i] = r2.Vec{X: q.X, Y: q.Y}
	}
	q := in.Apply(p)
	foot := r2.Vec{X: q.X, Y: q.Y}
	if len(ring) < 3 || flat.Contains(ring, foot) {
		return 0
	}
	return math.Abs(flat.ToRim(ring, foot))
}

// Package extent says how large the solids of a scene are written: as they were
// fitted, or grown by their margins, as a planner wants them.
package extent

import (
	"fmt"

	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"
)

// Extent is the size in which solids are written.
type Extent int

const (
	Grown  Extent = iota // by each object's margin, as in scene.stl
	Fitted               // as measured, without margin
)

// All are the extents, by the names that Parse takes.
var All = []Extent{Grown, Fitted}

// String is the extent's name.
func (e Extent) String() string {
	if e == Fitted {
		return "fitted"
	}
	return "grown"
}

// Parse reads a name.
func Parse(name string) (Extent, error) {
	for _, e := range All {
		if name == e.String() {
			return e, nil
		}
	}
	return 0, fmt.Errorf("solids are %q; they are grown (by their margins) or fitted (without)", name)
}

// Margin by which the solids of an object are grown, mm.
func (e Extent) Margin(o *scene.Object) float64 {
	if e == Fitted {
		return 0
	}
	return o.Margin
}

// Note is the sentence that a file carries, so that nobody takes one extent
// for the other.
func (e Extent) Note() string {
	if e == Fitted {
		return "solids as fitted, without margin: a planner must keep its own distance"
	}
	return "solids grown by their margins"
}

// Datum is baseFromDatum of an object; the remainder has no datum of its own
// and takes the base.
func Datum(o *scene.Object) geom.Pose {
	if o.Kind == scene.Remainder {
		return geom.Identity()
	}
	return o.Pose
}

// Of is the box round all solids of an object along the axes of its datum, in
// the datum's frame; empty where the object has no solid.
func (e Extent) Of(o *scene.Object) geom.Bounds {
	out := geom.NoBounds()
	datumFromBase := Datum(o).Inverse()
	for _, s := range o.Solids {
		b := bounds(s, datumFromBase, e.Margin(o))
		if !b.Empty() {
			out.Extend(b.Min)
			out.Extend(b.Max)
		}
	}
	return out
}

// bounds of a solid in another frame. A cylinder's mesh stands out beyond its
// round side, so it is asked itself.
func bounds(s solid.Solid, frameFromBase geom.Pose, margin float64) geom.Bounds {
	if c, ok := s.(solid.Cylinder); ok {
		c.Centre, c.Axis = frameFromBase.Apply(c.Centre), frameFromBase.R.Apply(c.Axis)
		return c.Bounds(margin)
	}
	out := geom.NoBounds()
	for _, v := range s.Mesh(margin).Vertices {
		out.Extend(frameFromBase.Apply(v))
	}
	return out
}

package step

import (
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// round writes a cylinder's closed shell: two flat ends and one round face,
// which is cut open along a seam.
func (f *file) round(c solid.Cylinder) ref {
	frame := geom.Plane{Normal: c.Axis}.Frame(r3.Vec{})
	z, x := frame.R.Axis(2), frame.R.Axis(0)
	foot := r3.Sub(c.Centre, r3.Scale(c.Height/2, z))
	head := r3.Add(c.Centre, r3.Scale(c.Height/2, z))
	low, lowVertex := f.circle(foot, z, x, c.Radius)
	high, highVertex := f.circle(head, z, x, c.Radius)
	vector := f.add("VECTOR('',%v,1.)", f.direction(z))
	line := f.add("LINE('',%v,%v)", f.point(r3.Add(foot, r3.Scale(c.Radius, x))), vector)
	seam := f.add("EDGE_CURVE('',%v,%v,%v,.T.)", lowVertex, highVertex, line)

	side := f.add("CYLINDRICAL_SURFACE('',%v,%s)", f.placement(foot, z, x), number(c.Radius))
	return f.add("CLOSED_SHELL('',%s)", refs([]ref{
		f.cut(side, turn{low, "T"}, turn{seam, "T"}, turn{high, "F"}, turn{seam, "F"}),
		f.cut(f.add("PLANE('',%v)", f.placement(foot, r3.Scale(-1, z), x)), turn{low, "F"}),
		f.cut(f.add("PLANE('',%v)", f.placement(head, z, x)), turn{high, "T"}),
	}))
}

// circle is an edge that runs once round z from the vertex on x.
func (f *file) circle(centre, z, x r3.Vec, radius float64) (edge, vertex ref) {
	vertex = f.add("VERTEX_POINT('',%v)", f.point(r3.Add(centre, r3.Scale(radius, x))))
	curve := f.add("CIRCLE('',%v,%s)", f.placement(centre, z, x), number(radius))
	return f.add("EDGE_CURVE('',%v,%v,%v,.T.)", vertex, vertex, curve), vertex
}

// turn is an edge run along (T) or against (F) its own sense.
type turn struct {
	edge  ref
	along string
}

// cut is the piece of a surface inside a loop.
func (f *file) cut(surface ref, loop ...turn) ref {
	var edges []ref
	for _, t := range loop {
		edges = append(edges, f.add("ORIENTED_EDGE('',*,*,%v,.%s.)", t.edge, t.along))
	}
	bound := f.add("FACE_OUTER_BOUND('',%v,.T.)", f.add("EDGE_LOOP('',%s)", refs(edges)))
	return f.add("ADVANCED_FACE('',(%v),%v,.T.)", bound, surface)
}

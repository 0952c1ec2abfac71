package step

import (
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// polyhedron is a body of plane faces, each the indices of its corners,
// counter-clockwise seen from outside.
type polyhedron struct {
	corners []r3.Vec
	faces   [][]int
}

// box has six faces.
func box(b geom.Box) polyhedron {
	c := b.Corners()
	return drawn([]r3.Vec{c[0], c[1], c[3], c[2]}, []r3.Vec{c[4], c[5], c[7], c[6]})
}

// prism has two ends and a face a side.
func prism(p *solid.Prism) polyhedron {
	foot := p.Outline()
	head := make([]r3.Vec, len(foot))
	for i, v := range foot {
		head[i] = r3.Add(v, r3.Scale(p.Height(), p.Direction()))
	}
	return drawn(foot, head)
}

// drawn joins two outlines, foot and head, that run counter-clockwise seen from
// the head.
func drawn(foot, head []r3.Vec) polyhedron {
	n := len(foot)
	p := polyhedron{corners: append(append([]r3.Vec{}, foot...), head...)}
	bottom, top := make([]int, n), make([]int, n)
	for i := range n {
		j := (i + 1) % n
		bottom[n-1-i], top[i] = i, n+i
		p.faces = append(p.faces, []int{i, j, n + j, n + i})
	}
	p.faces = append(p.faces, bottom, top)
	return p
}

// seen from another frame.
func (p polyhedron) seen(frameFromBase geom.Pose) polyhedron {
	out := polyhedron{corners: make([]r3.Vec, len(p.corners)), faces: p.faces}
	for i, v := range p.corners {
		out.corners[i] = frameFromBase.Apply(v)
	}
	return out
}

// shell writes the body's closed shell: every corner and every edge once, so
// that neighbouring faces share them.
func (f *file) shell(p polyhedron) ref {
	b := builder{file: f, polyhedron: p, edges: map[[2]int]ref{}}
	for _, c := range p.corners {
		at := f.point(c)
		b.points = append(b.points, at)
		b.vertices = append(b.vertices, f.add("VERTEX_POINT('',%v)", at))
	}
	var faces []ref
	for _, ring := range p.faces {
		faces = append(faces, b.face(ring))
	}
	return f.add("CLOSED_SHELL('',%s)", refs(faces))
}

// builder remembers what of a polyhedron is in the file.
type builder struct {
	*file
	polyhedron
	points, vertices []ref
	edges            map[[2]int]ref // by its corners, the lesser first
}

func (b *builder) face(ring []int) ref {
	var loop []ref
	for k, i := range ring {
		j := ring[(k+1)%len(ring)]
		along := "T"
		if i > j {
			along = "F"
		}
		loop = append(loop, b.add("ORIENTED_EDGE('',*,*,%v,.%s.)", b.edge(min(i, j), max(i, j)), along))
	}
	bound := b.add("FACE_OUTER_BOUND('',%v,.T.)", b.add("EDGE_LOOP('',%s)", refs(loop)))
	// How the plane's frame is turned about its normal may be left open (ISO
	// 10303-42, axis2_placement_3d).
	frame := b.add("AXIS2_PLACEMENT_3D('',%v,%v,$)", b.points[ring[0]], b.direction(b.normal(ring)))
	plane := b.add("PLANE('',%v)", frame)
	return b.add("ADVANCED_FACE('',(%v),%v,.T.)", bound, plane)
}

// normal of a plane ring by Newell's sum, which no single short side spoils.
func (b *builder) normal(ring []int) r3.Vec {
	var n r3.Vec
	first := b.corners[ring[0]]
	for k := 1; k+1 < len(ring); k++ {
		n = r3.Add(n, r3.Cross(r3.Sub(b.corners[ring[k]], first), r3.Sub(b.corners[ring[k+1]], first)))
	}
	return r3.Unit(n)
}

// edge runs from corner i to corner j along a straight line.
func (b *builder) edge(i, j int) ref {
	if e, ok := b.edges[[2]int{i, j}]; ok {
		return e
	}
	d := r3.Sub(b.corners[j], b.corners[i])
	vector := b.add("VECTOR('',%v,1.)", b.direction(r3.Unit(d)))
	line := b.add("LINE('',%v,%v)", b.points[i], vector)
	e := b.add("EDGE_CURVE('',%v,%v,%v,.T.)", b.vertices[i], b.vertices[j], line)
	b.edges[[2]int{i, j}] = e
	return e
}

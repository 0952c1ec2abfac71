package register

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// facing is how far normals may differ for two patches to be one surface before
// the scan is turned right, 25 degrees, and after, 12.
var (
	facingRough = math.Cos(25 * math.Pi / 180)
	facingClose = math.Cos(12 * math.Pi / 180)
)

// placedMap is what a scan is laid on.
type placedMap struct {
	edge    float64
	patches []patch
	scans   int
	eye     r3.Vec // mean of the eyes
	lookup  map[cell][]int32
	field   map[cell][]seen
	rays    map[cell][]int32 // the patches whose rays to the eye pass through a cell
}

// seen is a patch that can be met from a cell of the field.
type seen struct {
	patch int32
	class int8    // of its normal
	far   float32 // its squared distance from the cell's middle, mm^2
}

// The field's cells are as large as a patch, so that one patch a cell, class and
// surface stands for all; it reaches fieldSteps cells round it.
const fieldSteps = 3

func mapOf(scans []Scan, edge float64) *placedMap {
	m := &placedMap{edge: edge, scans: len(scans), field: map[cell][]seen{}, rays: map[cell][]int32{}}
	var n float64
	for i, s := range scans {
		for _, p := range patches(s, i, edge) {
			m.patches = append(m.patches, p)
			m.eye = r3.Add(m.eye, r3.Scale(p.n, r3.Add(p.mean, r3.Scale(p.reach, p.toward))))
			n += p.n
		}
	}
	m.eye = r3.Scale(1/math.Max(n, 1), m.eye)
	m.lookup = lookupOf(m.patches, edge)
	markEven(m.patches, m.lookup, edge)
	m.fill()
	m.cast()
	return m
}

// reach is how far from a surface the field still leads to it, mm.
func (m *placedMap) reach() float64 { return fieldSteps * m.edge }

// fill builds the field from the patch with the most points of every cell and
// class.
func (m *placedMap) fill() {
	type place struct {
		cell  cell
		class int8
	}
	best := map[place]int32{}
	for i := range m.patches {
		p := &m.patches[i]
		at := place{cellAt(p.mean, m.edge), classOf(p.plane.Normal)}
		if k, ok := best[at]; !ok || p.n > m.patches[k].n {
			best[at] = int32(i)
		}
	}
	for i := range m.patches { // in order, for the same field every time
		p := &m.patches[i]
		at := place{cellAt(p.mean, m.edge), classOf(p.plane.Normal)}
		if best[at] == int32(i) {
			at.cell.around(fieldSteps, func(c cell) { m.offer(c, int32(i), at.class) })
		}
	}
}

// raysPerCell is how many rays a cell remembers: one of them at least passes within
// half an edge of wherever a patch lies in it.
const raysPerCell = 8

// cast notes through which cells each patch was seen, but for the last one before
// it.
func (m *placedMap) cast() {
	for i := range m.patches {
		p := &m.patches[i]
		for far := 1.5 * m.edge; far < p.reach; far += m.edge {
			c := cellAt(r3.Add(p.mean, r3.Scale(far, p.toward)), m.edge)
			if len(m.rays[c]) < raysPerCell {
				m.rays[c] = append(m.rays[c], int32(i))
			}
		}
	}
}

// through tells whether a patch was seen through p, more than an edge behind it.
func (m *placedMap) through(p *patch) bool {
	for _, k := range m.rays[cellAt(p.mean, m.edge)] {
		q := &m.patches[k]
		behind, slope := -p.plane.Distance(q.mean), r3.Dot(p.plane.Normal, q.toward)
		if math.Abs(behind) < m.edge || behind*slope <= 0 {
			continue
		}
		far := behind / slope
		at := r3.Add(q.mean, r3.Scale(far, q.toward))
		if far < q.reach-m.edge && r3.Norm(r3.Sub(at, p.mean)) < m.edge/2 {
			return true
		}
	}
	return false
}

// offer makes the patch known in the cell where none of its class is nearer.
func (m *placedMap) offer(c cell, patch int32, class int8) {
	far := float32(r3.Norm2(r3.Sub(m.patches[patch].mean, c.middle(m.edge))))
	list := m.field[c]
	for i := range list {
		if list[i].class == class {
			if far < list[i].far {
				list[i].patch, list[i].far = patch, far
			}
			return
		}
	}
	m.field[c] = append(list, seen{patch, class, far})
}

// nearest is the patch nearest to p along its normal among those that face as
// normal does; nil where there is none.
func (m *placedMap) nearest(p, normal r3.Vec) (best *patch, d float64) {
	d = math.Inf(1)
	for _, s := range m.field[cellAt(p, m.edge)] {
		q := &m.patches[s.patch]
		if r3.Dot(q.plane.Normal, normal) < facingRough {
			continue
		}
		if e := q.plane.Distance(p); math.Abs(e) < math.Abs(d) {
			best, d = q, e
		}
	}
	return best, d
}

// classOf sorts directions into 54: the nine parts of each face of a cube.
func classOf(n r3.Vec) int8 {
	v := [3]float64{n.X, n.Y, n.Z}
	axis := 0
	for i := range v {
		if math.Abs(v[i]) > math.Abs(v[axis]) {
			axis = i
		}
	}
	third := func(x float64) int { return int(min(2, math.Floor((x/math.Abs(v[axis])+1)*1.5))) }
	side := 0
	if v[axis] > 0 {
		side = 1
	}
	return int8(9*(2*axis+side) + 3*third(v[(axis+1)%3]) + third(v[(axis+2)%3]))
}

// about moves by t and turns by the rotation vector w about the point c.
func about(c, t, w r3.Vec) geom.Pose {
	r := geom.Exp(w)
	return geom.Pose{R: r, T: r3.Add(r3.Sub(c, r.Apply(c)), t)}
}

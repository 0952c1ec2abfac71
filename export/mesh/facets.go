package mesh

import (
	"errors"
	"fmt"
	"io"
	"math"

	"cellwall/scene/solid"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"
)

// Facets is the closed surface of one solid in the precision of an STL file.
type Facets struct {
	Vertices []stl.Vec3 // mm, no two alike
	Faces    [][3]int32 // counter-clockwise seen from outside
}

// Round brings a mesh to single precision. Rounding makes vertices coincide and
// triangles flat; those are welded away, so that what is left is closed, faces
// outward and has no degenerate facet. It fails where that cannot be had: the
// mesh was open, inside out or without thickness.
func Round(m solid.Mesh) (Facets, error) {
	f, step, err := weld(m)
	if err != nil {
		return Facets{}, err
	}
	f.turnCaps(step)
	if err := f.check(); err != nil {
		return Facets{}, err
	}
	return f, nil
}

// weldSteps is how many steps of single precision two vertices must lie apart.
// Rounding moves each by half a step along each axis, sqrt(3)/2 at most; two of
// them that are four steps apart keep their order, and so do the facets
// between them.
const weldSteps = 4

// weld rounds the vertices, makes one of those that lie within weldSteps of
// each other, and drops the faces that lose a corner by it: an edge that shrinks
// to a point takes its two faces along and leaves the surface closed. It returns
// the distance within which it welded, mm.
func weld(m solid.Mesh) (Facets, float64, error) {
	far := 0.0
	for _, v := range m.Vertices {
		far = max(far, math.Abs(v.X), math.Abs(v.Y), math.Abs(v.Z))
	}
	if math.IsNaN(far) || math.IsInf(far, 0) {
		return Facets{}, 0, errors.New("a vertex is not a finite number")
	}
	step := weldSteps * float64(math.Nextafter32(float32(far), math.MaxFloat32)-float32(far))
	var f Facets
	to := make([]int32, len(m.Vertices))
	for i, v := range m.Vertices {
		to[i] = f.vertex(stl.Vec3{float32(v.X), float32(v.Y), float32(v.Z)}, step)
	}
	for _, t := range m.Faces {
		for _, c := range t {
			if c < 0 || int(c) >= len(to) {
				return Facets{}, 0, fmt.Errorf("a face names vertex %d of %d", c, len(to))
			}
		}
		a, b, c := to[t[0]], to[t[1]], to[t[2]]
		if a != b && b != c && c != a {
			f.Faces = append(f.Faces, [3]int32{a, b, c})
		}
	}
	return f, step, nil
}

// vertex returns the index of a vertex within step of v, v itself where there
// is none yet.
func (f *Facets) vertex(v stl.Vec3, step float64) int32 {
	for i, w := range f.Vertices {
		if r3.Norm2(r3.Sub(wide(v), wide(w))) < step*step {
			return int32(i)
		}
	}
	f.Vertices = append(f.Vertices, v)
	return int32(len(f.Vertices) - 1)
}

// turnCaps rids the surface of triangles flatter than step whose corners lie
// apart: the corner between the other two is joined across the longest side
// with the corner beyond, which splits the neighbour in two sound triangles.
func (f *Facets) turnCaps(step float64) {
	for range len(f.Faces) { // each turn settles one cap; more are not to be had
		owner := f.owners()
		turned := false
		for i, t := range f.Faces {
			k, flat := f.cap(t, step)
			if !flat {
				continue
			}
			a, b, c := t[k], t[(k+1)%3], t[(k+2)%3] // a b the longest side, c on it
			j, ok := owner[[2]int32{b, a}]
			if !ok {
				continue
			}
			d := f.across(j, b, a)
			if _, taken := owner[[2]int32{c, d}]; taken || c == d {
				continue
			}
			f.Faces[i], f.Faces[j] = [3]int32{a, d, c}, [3]int32{d, b, c}
			turned = true
			break // the table of owners no longer holds
		}
		if !turned {
			return
		}
	}
}

// cap tells whether the triangle is flatter than step, and at which corner its
// longest side starts.
func (f *Facets) cap(t [3]int32, step float64) (longest int, flat bool) {
	most := 0.0
	for k := range t {
		if l := r3.Norm(r3.Sub(f.at(t[(k+1)%3]), f.at(t[k]))); l > most {
			most, longest = l, k
		}
	}
	return longest, r3.Norm(f.twiceArea(t)) < step*most
}

// across is the corner of face j that is neither a nor b.
func (f *Facets) across(j int, a, b int32) int32 {
	for _, c := range f.Faces[j] {
		if c != a && c != b {
			return c
		}
	}
	return a
}

// owners maps each directed edge to the face that runs along it.
func (f *Facets) owners() map[[2]int32]int {
	o := make(map[[2]int32]int, 3*len(f.Faces))
	for i, t := range f.Faces {
		for k := range t {
			o[[2]int32{t[k], t[(k+1)%3]}] = i
		}
	}
	return o
}

// check refuses a surface that is not closed, is inside out or has a facet
// without area.
func (f *Facets) check() error {
	if !(f.Volume() > 0) {
		return fmt.Errorf("the volume is %g mm^3: the solid is flat or inside out", f.Volume())
	}
	owner := f.owners()
	if len(owner) != 3*len(f.Faces) {
		return errors.New("an edge belongs to more than two facets")
	}
	for e := range owner {
		if _, ok := owner[[2]int32{e[1], e[0]}]; !ok {
			return errors.New("the surface is not closed")
		}
	}
	for _, t := range f.Faces {
		if f.twiceArea(t) == (r3.Vec{}) {
			return errors.New("a facet has no area")
		}
	}
	return nil
}

// Volume is what the facets enclose, mm^3, by the divergence theorem from a
// corner of the surface, where the terms cancel least.
func (f *Facets) Volume() float64 {
	if len(f.Faces) == 0 {
		return 0
	}
	o := f.at(f.Faces[0][0])
	v := 0.0
	for _, t := range f.Faces {
		a, b, c := r3.Sub(f.at(t[0]), o), r3.Sub(f.at(t[1]), o), r3.Sub(f.at(t[2]), o)
		v += r3.Dot(a, r3.Cross(b, c))
	}
	return v / 6
}

// WriteSTL writes the surface as a binary STL file, with the unit and frame of
// its coordinates in the header.
func (f *Facets) WriteSTL(w io.Writer, frame string) error {
	s := stl.Solid{BinaryHeader: heading("cellwall: " + frame), Triangles: f.triangles()}
	return s.WriteAll(w)
}

// triangles is the surface as the STL library takes it.
func (f *Facets) triangles() []stl.Triangle {
	out := make([]stl.Triangle, len(f.Faces))
	for i, t := range f.Faces {
		n := r3.Unit(f.twiceArea(t))
		out[i].Normal = stl.Vec3{float32(n.X), float32(n.Y), float32(n.Z)}
		for k, c := range t {
			out[i].Vertices[k] = f.Vertices[c]
		}
	}
	return out
}

func (f *Facets) at(i int32) r3.Vec { return wide(f.Vertices[i]) }

func (f *Facets) twiceArea(t [3]int32) r3.Vec {
	a := f.at(t[0])
	return r3.Cross(r3.Sub(f.at(t[1]), a), r3.Sub(f.at(t[2]), a))
}

func wide(v stl.Vec3) r3.Vec {
	return r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}
}

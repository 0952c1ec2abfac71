package align

import (
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Shape is a target: single points that lie on one plane, or on one sphere of
// known radius, as the parts of scans saw it.
type Shape struct {
	Points []Patch    // one point each, by part
	Plane  geom.Plane // near the true one
	Radius float64    // of a sphere, mm; 0: a plane
	Centre r3.Vec     // of the sphere, or of the points, nearly
}

// shape makes the rows of a target. A sphere's centre stands where a plane's
// offset and tilts do: moved by d, it takes the distance of a point in the
// direction n from it down by n . d.
func (a *adjuster) shape(s *Shape) {
	var f face
	frame := s.Plane.Frame(s.Centre).R
	for i := range s.Points {
		p := &s.Points[i]
		arm := r3.Sub(p.Mean, s.Centre)
		if s.Radius > 0 {
			n := r3.Unit(arm)
			w := a.row(p, n)
			w.off = r3.Norm(arm) - s.Radius
			w.basis = [3]float64{n.X, n.Y, n.Z}
			f.add(p.Part, w)
			continue
		}
		w := a.row(p, s.Plane.Normal)
		w.off = s.Plane.Distance(p.Mean)
		w.basis = [3]float64{1, r3.Dot(frame.Axis(0), arm), r3.Dot(frame.Axis(1), arm)}
		f.add(p.Part, w)
	}
	if len(f.groups) > 1 {
		f.round = s.Radius > 0
		a.faces = append(a.faces, f)
		a.out.Surfaces++
	}
}

package fit

import (
	"fmt"

	"cellwall/fit/shape"
	"cellwall/fit/surface"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// larger is how far a surface may reach beyond a model that it is of: what is
// longer than the model by more than outlines are uncertain by is something else.
const larger = 1.2

// findShapes locates the objects whose model is given.
func (s *survey) findShapes(f *Findings, wanted []cell.Wanted, stations []station) {
	for _, w := range ofKind(wanted, Shape) {
		m := shape.NewModel(w.Model)
		voxels, err := s.mayBeOf(w, m, stations)
		if err != nil {
			f.Refused = append(f.Refused, *err)
			continue
		}
		l, refused := shape.Locate(s.cloud, m, shape.Want{Voxels: voxels, Near: w.Near})
		if refused != nil {
			f.Refused = append(f.Refused, Refusal{
				Name: w.Name, Kind: Shape, Near: w.Near,
				Reason: refused.Reason, ScanNext: refused.ScanNext, Candidates: refused.Candidates,
			})
			continue
		}
		o := Object{
			Name: w.Name, Kind: Shape, Inside: w.Inside, Pose: l.Pose, Cov: l.Cov,
			Budget:   s.fitted(l.Pose, l.Cov, l.Noise),
			Measures: map[string]Measure{}, Hulls: m.Pieces(l.Pose),
		}
		for n, i := range s.free(func(f *surface.Surface) bool { return s.lies(f, l.Box.Grown(jawSkin)) }) {
			o.Faces = append(o.Faces, s.take(numbered("face", n+1), i))
		}
		f.Objects = append(f.Objects, o)
	}
}

// mayBeOf lists the voxels that may be of the wanted shape: where it is to stand,
// and on no surface that another object has or that is larger than the model.
func (s *survey) mayBeOf(w cell.Wanted, m *shape.Model, stations []station) ([]int32, *Refusal) {
	in := func(r3.Vec) bool { return true }
	if w.Inside != "" {
		st, err := placeIn(w, stations)
		if err != nil {
			return nil, err
		}
		in = st.place.Box.Contains
	}
	other := make([]bool, len(s.surfaces))
	for i := range s.surfaces {
		other[i] = s.taken[i] || breadth(s.surfaces[i].Outline) > larger*m.Size()
	}
	var out []int32
	for i := range s.cloud.Voxels {
		if k := s.owner[i]; s.weight[i] > 0 && (k < 0 || !other[k]) && in(s.cloud.Voxels[i].Mean) {
			out = append(out, int32(i))
		}
	}
	return out, nil
}

// lies tells whether nearly all of the surface was seen in the box.
func (s *survey) lies(f *surface.Surface, b geom.Box) bool {
	out := 0
	for _, v := range f.Voxels {
		if !b.Contains(s.cloud.Voxels[v].Mean) {
			out++
		}
	}
	return out*20 < len(f.Voxels)
}

// placeIn is the station in which w stands.
func placeIn(w cell.Wanted, stations []station) (station, *Refusal) {
	for _, st := range stations {
		if st.name == w.Inside {
			return st, nil
		}
	}
	return station{}, &Refusal{
		Name: w.Name, Kind: Kind(w.Kind), Near: w.Near,
		Reason:   fmt.Sprintf("%s, in which it stands, was not located", w.Inside),
		ScanNext: fmt.Sprintf("what %s needs to be located", w.Inside),
	}
}

// breadth is the greatest distance between two corners of an outline, mm.
func breadth(outline []r3.Vec) (d float64) {
	for i, a := range outline {
		for _, b := range outline[:i] {
			d = max(d, r3.Norm(r3.Sub(a, b)))
		}
	}
	return d
}

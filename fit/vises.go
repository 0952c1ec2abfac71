package fit

import (
	"fmt"
	"slices"

	"cellwall/fit/surface"
	"cellwall/fit/vise"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// station is where vises and blocks may stand within an enclosure.
type station struct {
	name  string // of the enclosure
	place vise.Place
	body  geom.Box // the space within, and what stands proud of the front
}

// findVises locates each wanted vise in its enclosure, or in the whole cell
// where it stands in none.
func (s *survey) findVises(f *Findings, wanted []cell.Wanted, stations []station) {
	want := ofKind(wanted, Vise)
	fits := make([][]vise.Located, len(want))
	refused := make([]*Refusal, len(want))
	for i, w := range want {
		var place vise.Place
		if place, refused[i] = s.placeOf(w, stations); refused[i] == nil {
			fits[i], refused[i] = s.vises(w, hintsBut(want, i), place)
		}
	}
	dealt := dealVises(want, fits)
	for i, w := range want {
		if refused[i] == nil {
			refused[i] = dealt[i].refused
		}
		if refused[i] != nil {
			f.Refused = append(f.Refused, *refused[i])
			continue
		}
		o := s.vise(w, dealt[i].is)
		for _, k := range s.mostlyWithin(o.Parts, jawSkin) {
			s.taken[k] = true // the vise has its faces already, fitted to the raw points
		}
		f.Objects = append(f.Objects, o)
	}
}

// most is the share of its points that makes a surface a jaw's own: points that
// the laser mixed at edges stretch its outline by a centimetre.
const most = 0.9

// mostlyWithin are the free surfaces of which most points lie in the boxes grown
// by skin.
func (s *survey) mostlyWithin(boxes []geom.Box, skin float64) []int {
	return s.free(func(f *surface.Surface) bool {
		var in, all float64
		for _, i := range f.Voxels {
			v := &s.cloud.Voxels[i]
			all += v.N
			if slices.ContainsFunc(boxes, func(b geom.Box) bool { return b.Grown(skin).Contains(v.Mean) }) {
				in += v.N
			}
		}
		return in > most*all
	})
}

// placeOf is where to look for w, and from where its sides are named.
func (s *survey) placeOf(w cell.Wanted, stations []station) (vise.Place, *Refusal) {
	if w.Inside == "" {
		return s.wholeCell(w), nil
	}
	for _, st := range stations {
		if st.name == w.Inside {
			return st.place, nil
		}
	}
	if w.FixedJaw == "" {
		return s.wholeCell(w), nil
	}
	return vise.Place{}, &Refusal{
		Name: w.Name, Kind: Vise, Near: w.Near,
		Reason:   fmt.Sprintf("%s, in which it stands and from whose front fixed_jaw is counted, was not located", w.Inside),
		ScanNext: fmt.Sprintf("what %s needs to be located", w.Inside),
	}
}

// wholeCell is all that was seen above the floor, looked at from the base: along
// the hint where there is one, else along the base's +X.
func (s *survey) wholeCell(w cell.Wanted) vise.Place {
	x := r3.Vec{X: 1}
	if w.Near != nil && r3.Norm(r3.Sub(*w.Near, r3.Scale(r3.Dot(*w.Near, s.up), s.up))) > 1 {
		x = *w.Near
	}
	x = level(x, s.up)
	r := geom.RotFromAxes(x, r3.Cross(s.up, x), s.up)
	b := geom.NoBounds()
	for i := range s.cloud.Voxels {
		if s.weight[i] > 0 {
			b.Extend(r.T().Apply(s.cloud.Voxels[i].Mean))
		}
	}
	mid := r.Apply(r3.Scale(0.5, r3.Add(b.Min, b.Max)))
	return vise.Place{
		Frame: geom.Pose{R: r}, AtBase: true,
		Box: geom.Box{Pose: geom.Pose{R: r, T: mid}, Size: r3.Sub(b.Max, b.Min)},
	}
}

// hintsBut are the hints of all but one.
func hintsBut(wanted []cell.Wanted, but int) (out []r3.Vec) {
	for i, w := range wanted {
		if i != but && w.Near != nil {
			out = append(out, *w.Near)
		}
	}
	return out
}

// vises are those that fit what is wanted, none of them where others are.
func (s *survey) vises(w cell.Wanted, others []r3.Vec, place vise.Place) ([]vise.Located, *Refusal) {
	want := vise.Want{Width: w.JawWidth, Height: w.JawHeight, Depth: w.JawDepth, Fixed: w.FixedJaw, Near: w.Near, Elsewhere: others}
	found, refused := vise.Locate(s.cloud, want, place)
	if refused == nil {
		return found, nil
	}
	return nil, &Refusal{
		Name: w.Name, Kind: Vise, Near: w.Near,
		Reason: refused.Reason, ScanNext: refused.ScanNext, Candidates: refused.Candidates,
	}
}

// vise is the object of a located one.
func (s *survey) vise(w cell.Wanted, l *vise.Located) Object {
	o := Object{
		Name: w.Name, Kind: Vise, Inside: w.Inside, Pose: l.Pose, Cov: l.Cov,
		Budget: s.fitted(l.Pose, minus(l.Cov, l.Mount), l.Noise),
		Measures: map[string]Measure{
			"opening_mm":   Measure(l.Opening),
			"jaw_width_mm": Measure(l.Width),
			"jaw_depth_mm": Measure(l.Depth),
		},
		Parts: []geom.Box{l.Fixed, l.Moving},
	}
	o.Budget.Mount = l.Mount
	if l.Height != nil {
		o.Measures["jaw_height_mm"] = Measure(*l.Height)
	}
	for _, f := range l.Faces {
		o.Faces = append(o.Faces, Face(f))
	}
	return o
}

// jawSkin is how far the faces of a part may lie off its box, mm: the box is the
// model's, the surfaces follow steps and chamfers of the real thing.
const jawSkin = 6

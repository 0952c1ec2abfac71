package fit

import (
	"slices"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// pane is a sheet behind a front, as the rectangle about what was seen of it.
// Where a ray went through that rectangle and on, the sheet has a window; where
// one passed beside it, the sheet does not end the machine.
type pane struct {
	plane geom.Plane // its normal to the side that the eye was on
	frame geom.Pose
	rect  rect
}

// paneShare is the part of the rectangle about it that a sheet with windows
// takes up at least: a door's guard has glass in the middle, and is held by its
// edges (common practice); a shape that fills less is no sheet.
const paneShare = 1.0 / 3

// panes lists the sheets behind a front that may have windows, from inside and
// from outside.
func (s *survey) panes(f *front) []pane {
	var out []pane
	for d := range numSides {
		n := s.outwardOf(f, d)
		for _, i := range s.free(func(p *surface.Surface) bool {
			return p.Area > minInner && (looks(p, n) && f.endsWith(d, p.Outline) || looks(p, r3.Scale(-1, n)) && f.within(p.Outline))
		}) {
			p := &s.surfaces[i]
			w := pane{plane: p.Plane, frame: p.Plane.Frame(p.Centre)}
			w.rect = projectOn(w.frame, p.Outline)
			if p.Area > paneShare*w.rect.area() {
				out = append(out, w)
			}
		}
	}
	return out
}

// lets tells whether the ray from eye to p went through the pane, from either
// side.
func (w *pane) lets(eye, p r3.Vec) bool {
	from, to := w.plane.Distance(eye), w.plane.Distance(p)
	if from < 0 {
		from, to = -from, -to
	}
	if to > -matThickness {
		return false
	}
	at := r3.Add(eye, r3.Scale(from/(from-to), r3.Sub(p, eye)))
	return w.rect.contains(w.frame.Inverse().Apply(at))
}

// notThroughWindows leaves out of what was seen through the opening what was
// seen through a window in a sheet behind it: it says nothing of where the
// machine ends.
func (s *survey) notThroughWindows(f *front, seen []int32) []int32 {
	panes := s.panes(f)
	return slices.DeleteFunc(seen, func(i int32) bool {
		v := &s.cloud.Voxels[i]
		eye := v.Eye()
		return slices.ContainsFunc(panes, func(w pane) bool { return w.lets(eye, v.Mean) })
	})
}

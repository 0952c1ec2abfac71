package judge

import (
	"math"
	"slices"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping/geom"
	"cellwall/scene"
)

// Label is one thing of the shop that the map should name for what it is.
type Label struct {
	Kind  string // floor, wall, table, enclosure, or opening
	Name  string
	Found bool
}

// shownArea is how much of a wall must have been seen, mm^2, for it to be asked
// for: two square metres are more than any cabinet's side. It is counted in cells
// of which one in some ten is hit where the scan is thin.
const (
	shownArea = 2e6
	shownCell = 100.0 // mm
	shownRays = 60000
	squarely  = 0.5 // cosine: returns fail from some 60 degrees on
)

// labels lists what of the shop was shown, and whether the scene has it.
func labels(s *scene.Scene, shop *fixtures.Shop, machines []Machine) (out []Label) {
	var area map[int]float64
	for i := range shop.Truth.Objects {
		o := &shop.Truth.Objects[i]
		switch fit.Kind(o.Kind) {
		case fit.Wall:
			if area == nil {
				area = wallsSeen(shop)
			}
			if area[i] < shownArea {
				continue
			}
			out = append(out, Label{o.Kind, o.Name, hasFace(s, fit.Wall, o.Faces)})
		case fit.Floor:
			out = append(out, Label{o.Kind, o.Name, hasFace(s, fit.Floor, o.Faces)})
		case fit.Table:
			found := object(s, o.Name)
			out = append(out, Label{o.Kind, o.Name, found != nil && found.Kind == fit.Table})
		}
	}
	for _, m := range machines {
		out = append(out, Label{string(fit.Enclosure), m.Name, m.As != ""}, Label{"opening", m.Name, m.Door != nil})
	}
	return out
}

// wallsSeen is the area of each wall that returns came from, by object, mm^2.
func wallsSeen(shop *fixtures.Shop) map[int]float64 {
	frames, area := map[int]geom.Pose{}, map[int]float64{}
	seen := map[[3]int]bool{}
	for _, r := range shop.Reached(shownRays) {
		o := &shop.Truth.Objects[r.Object]
		if o.Kind != string(fit.Wall) || !r.Returned || r.Cos < squarely {
			continue
		}
		frame, ok := frames[r.Object]
		if !ok {
			frame = o.Faces[0].Plane.Frame(o.Faces[0].Centre()).Inverse()
			frames[r.Object] = frame
		}
		q := frame.Apply(r.Point)
		cell := [3]int{r.Object, int(math.Floor(q.X / shownCell)), int(math.Floor(q.Y / shownCell))}
		if !seen[cell] {
			seen[cell] = true
			area[r.Object] += shownCell * shownCell
		}
	}
	return area
}

// hasFace tells whether an object of the kind has a plane on one of the true faces.
func hasFace(s *scene.Scene, kind fit.Kind, faces []fixtures.Face) bool {
	for i := range s.Objects {
		if s.Objects[i].Kind != kind {
			continue
		}
		for k := range s.Objects[i].Faces {
			f := &s.Objects[i].Faces[k]
			on := func(face fixtures.Face) bool { _, _, ok := against(f, face); return ok }
			if f.Cylinder == nil && slices.ContainsFunc(faces, on) {
				return true
			}
		}
	}
	return false
}

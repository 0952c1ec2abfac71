package judge

import (
	"math"
	"slices"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
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

// A table is asked for where returns came from that share of its top at least,
// counted in cells that a thin scan still hits: of less, its place is a guess.
const (
	topShare = 0.5
	topCell  = 50.0 // mm
)

// labels lists what of the shop was shown, and whether the scene has it. reached
// are all points that rays reached.
func labels(s *scene.Scene, shop *fixtures.Shop, machines []Machine, reached []fixtures.Reached) (out []Label) {
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
			if shareSeen(o.Faces[0], i, reached) >= topShare {
				out = append(out, Label{o.Kind, o.Name, hasFace(s, fit.Table, o.Faces)})
			}
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

// shareSeen is the share of the cells of object o's face that returns came from.
func shareSeen(f fixtures.Face, o int, reached []fixtures.Reached) float64 {
	frame := geom.Pose{R: f.Plane.Frame(f.Corners[0]).R, T: f.Corners[0]}.Inverse()
	seen := map[[2]int]bool{}
	for _, r := range reached {
		if r.Object == o && r.Returned && math.Abs(f.Plane.Distance(r.Point)) < onPlane {
			q := frame.Apply(r.Point)
			seen[[2]int{int(math.Floor(q.X / topCell)), int(math.Floor(q.Y / topCell))}] = true
		}
	}
	area := r3.Norm(r3.Sub(f.Corners[1], f.Corners[0])) * r3.Norm(r3.Sub(f.Corners[3], f.Corners[0]))
	return float64(len(seen)) * topCell * topCell / area
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

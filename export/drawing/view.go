package drawing

import (
	"math"

	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// view is a parallel projection of the scene.
type view struct {
	file, name, seen string
	fromBase         geom.Rot // viewFromBase: X right, Y up on the sheet, Z toward the viewer
	hidden           bool     // hidden edges are drawn
	cut              bool     // enclosures are cut above their opening
	whole            bool     // all of the room, whatever the scale
}

func (v view) right() r3.Vec  { return v.fromBase.T().Axis(0) }
func (v view) up() r3.Vec     { return v.fromBase.T().Axis(1) }
func (v view) toward() r3.Vec { return v.fromBase.T().Axis(2) }

// looking is the view whose X and Y run along the given axes of the base.
func looking(right, up r3.Vec) geom.Rot {
	return geom.RotFromAxes(right, up, r3.Cross(right, up)).T()
}

var (
	axisX = r3.Vec{X: 1}
	axisY = r3.Vec{Y: 1}
	axisZ = r3.Vec{Z: 1}
)

func plan() view {
	return view{file: "plan", name: "Plan", seen: "seen from above, along -Z of the base", fromBase: looking(axisX, axisY), hidden: true, cut: true}
}

// upright is v with X up the sheet instead of to the right.
func (v view) upright() view {
	v.fromBase = looking(r3.Scale(-1, axisY), axisX)
	return v
}

// plans are the plan and the plan of the room, both the same way up: that which
// allows the plan the larger scale, or else the room.
func plans(s *scene.Scene, keys []key) (p, all view) {
	p, all = plan(), room()
	lying, standing := scaleOf(s, p, keys), scaleOf(s, p.upright(), keys)
	if standing > lying || standing == lying && scaleOf(s, all.upright(), keys) > scaleOf(s, all, keys) {
		return p.upright(), all.upright()
	}
	return p, all
}

// scaleOf is the scale that a view gets, 0 where it gets none.
func scaleOf(s *scene.Scene, v view, keys []key) float64 {
	f, _ := compose(s, v)
	r, _, err := f.frame(sizesFor(v, keys))
	if err != nil {
		return 0
	}
	return r.of()
}

// room is the plan of all that was seen.
func room() view {
	v := plan()
	v.file, v.name, v.whole = "room", "Plan of the room", true
	return v
}

func front() view {
	return view{file: "front", name: "Front view", seen: "seen along +Y of the base", fromBase: looking(axisX, axisZ), hidden: true}
}

// side is the view from the left, which first-angle projection puts to the
// right of the front view (ISO 5456-2).
func side() view {
	return view{file: "side", name: "Side view", seen: "seen along +X of the base", fromBase: looking(r3.Scale(-1, axisY), axisZ), hidden: true}
}

// isometric looks down at equal angles to three axes (ISO 5456-3), from the
// corner from which the front of the first enclosure is seen best.
func isometric(s *scene.Scene) view {
	into := axisX
	for _, o := range s.Objects {
		if o.Kind == fit.Enclosure {
			into = o.Pose.R.Axis(0)
			break
		}
	}
	best := corner(0)
	for k := 1; k < 4; k++ {
		if r3.Dot(corner(k).toward(), into) < r3.Dot(best.toward(), into)-levelled {
			best = corner(k)
		}
	}
	return best
}

// levelled is how little two directions differ that are the same but for
// rounding.
const levelled = 1e-9

// corner is the isometric view from the k-th quarter about Z.
func corner(k int) view {
	s, c := math.Sincos(-3*math.Pi/4 + float64(k)*math.Pi/2)
	toward := r3.Unit(r3.Vec{X: c, Y: s, Z: math.Sqrt(0.5)})
	right := r3.Vec{X: -s, Y: c}
	names := [4]string{"-X, -Y", "+X, -Y", "+X, +Y", "-X, +Y"}
	return view{
		file: "isometric", name: "Isometric view",
		seen:     "seen from above, from the corner at " + names[k] + " of the base; hidden edges are not drawn",
		fromBase: looking(right, r3.Cross(toward, right)),
	}
}

// averted is how far a wall must look away from the viewer to be left out, as
// the cosine of its normal to the line of sight: a wall that is seen edge on
// within some six degrees hides next to nothing.
const averted = 0.1

// leftOut tells whether the object stands between the viewer and the cell: a
// wall, a ceiling or a floor that is seen from behind.
func (v view) leftOut(o *scene.Object) bool {
	switch o.Kind {
	case fit.Wall, fit.Ceiling, fit.Floor:
		return r3.Dot(o.Pose.R.Axis(2), v.toward()) < -averted
	}
	return false
}

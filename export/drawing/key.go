package drawing

import (
	"math"

	"cellwall/export/evidence"
	"cellwall/export/value"
	"cellwall/fit"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// key is a dimension of the cell that a person checks with a tape measure.
type key struct {
	object, what, short string
	kind                fit.Kind // of the object
	fit.Measure
	a, b    r3.Vec   // between which points, base
	along   r3.Vec   // the axis of the base along which it is taken; zero: from a to b
	away    r3.Vec   // for a size from a to b: on which side its line may stand
	onSheet []string // views that show it
}

// keysOf lists the key dimensions of the scene, object by object.
func keysOf(s *scene.Scene) []key {
	var out []key
	for i := range s.Objects {
		o := &s.Objects[i]
		first := len(out)
		switch o.Kind {
		case fit.Floor, fit.Ceiling, fit.Wall:
			out = append(out, flatKeys(o)...)
		case fit.Enclosure:
			out = append(out, enclosureKeys(o)...)
		case fit.Table:
			out = append(out, tableKeys(o)...)
		case fit.Vise:
			out = append(out, viseKeys(o)...)
		case fit.Post:
			out = append(out, place(o, "axis")[:2]...)
			out = append(out, bare(o, "diameter", "diameter_mm")...)
		case fit.Shape:
			out = append(out, place(o, "origin")...)
		case fit.Block:
			out = append(out, place(o, "middle")...)
			out = append(out, bare(o, "depth", "depth_mm")...)
			out = append(out, bare(o, "width", "width_mm")...)
			out = append(out, bare(o, "height", "height_mm")...)
		}
		for k := first; k < len(out); k++ {
			out[k].kind = o.Kind
		}
	}
	return out
}

// place is where the datum's origin stands in the base.
func place(o *scene.Object, point string, onSheet ...string) []key {
	sigma := o.Cov.SigmaT()
	k := key{object: o.Name, b: o.Pose.T, onSheet: onSheet}
	with := func(axis string, v, s float64, along r3.Vec) key {
		k := k
		k.what, k.short, k.Measure, k.along = axis+" of its "+point, axis, fit.Measure{Value: v, Sigma: s}, along
		return k
	}
	return []key{
		with("X", o.Pose.T.X, sigma.X, axisX), with("Y", o.Pose.T.Y, sigma.Y, axisY), with("Z", o.Pose.T.Z, sigma.Z, axisZ),
	}
}

// flatKeys is the distance of a plane from the base's origin.
func flatKeys(o *scene.Object) []key {
	n := o.Pose.R.Axis(2)
	k := key{object: o.Name, what: "distance from the base's origin", b: o.Pose.T}
	k.Measure = evidence.Distance(o)
	switch o.Kind {
	case fit.Floor:
		k.onSheet, k.along = []string{"front", "side"}, axisZ
	case fit.Wall:
		k.onSheet, k.away = []string{"room"}, r3.Cross(axisZ, n)
	}
	return []key{k}
}

func enclosureKeys(o *scene.Object) []key {
	out := place(o, "front's middle", "plan")[:2]
	at := func(y, z float64) r3.Vec { return o.Pose.Apply(r3.Vec{Y: y, Z: z}) }
	out1 := r3.Scale(-1, o.Pose.R.Axis(0))
	left := o.Pose.R.Axis(1)
	if p := o.Opening; p != nil {
		out = append(out, between(o, "opening", "width of its opening", "opening_width_mm", at(p.YMin, p.ZMin), at(p.YMax, p.ZMin), out1, "plan")...)
		out = append(out, between(o, "opening", "height of its opening", "opening_height_mm", at(p.YMax, p.ZMin), at(p.YMax, p.ZMax), left, "side", "front")...)
	}
	half := o.Measures["width_mm"].Value / 2
	out = append(out, between(o, "width", "width", "width_mm", at(-half, 0), at(half, 0), out1, "plan")...)
	h := o.Measures["height_mm"].Value
	return append(out, between(o, "height", "height", "height_mm", at(half, 0), at(half, h), left, "side", "front")...)
}

func tableKeys(o *scene.Object) []key {
	out := append(place(o, "top's middle", "plan")[:2], place(o, "top", "front")[2])
	x, y := o.Measures["length_mm"].Value/2, o.Measures["width_mm"].Value/2
	at := func(x, y float64) r3.Vec { return o.Pose.Apply(r3.Vec{X: x, Y: y}) }
	out = append(out, between(o, "length", "length", "length_mm", at(-x, -y), at(x, -y), r3.Scale(-1, o.Pose.R.Axis(1)), "plan")...)
	out = append(out, between(o, "width", "width", "width_mm", at(x, -y), at(x, y), o.Pose.R.Axis(0), "plan")...)
	return append(out, bare(o, "height over the floor", "height_mm")...)
}

func viseKeys(o *scene.Object) []key {
	out := place(o, "jaw datum", "plan", "front")
	at := func(x, y float64) r3.Vec { return o.Pose.Apply(r3.Vec{X: x, Y: y}) }
	half := o.Measures["jaw_width_mm"].Value / 2
	gap := o.Measures["opening_mm"].Value
	out = append(out, between(o, "opening", "opening", "opening_mm", at(-half, 0), at(-half, gap), r3.Scale(-1, o.Pose.R.Axis(0)), detailFile)...)
	back := jawBack(o)
	return append(out, between(o, "jaw", "jaw width", "jaw_width_mm", at(-half, back), at(half, back), r3.Scale(-1, o.Pose.R.Axis(1)), detailFile)...)
}

// jawBack is where the fixed jaw ends, along Y of the jaw datum.
func jawBack(o *scene.Object) float64 {
	if len(o.Parts) == 0 {
		return 0
	}
	return boundsIn(o.Pose, solid.Box{Box: o.Parts[0]}).Min.Y
}

// between is a measure of the object from a to b, where it has one.
func between(o *scene.Object, short, what, measure string, a, b, away r3.Vec, onSheet ...string) []key {
	m, ok := o.Measures[measure]
	if !ok {
		return nil
	}
	return []key{{object: o.Name, short: short, what: what, Measure: m, a: a, b: b, away: away, onSheet: onSheet}}
}

// bare is a measure that no view shows.
func bare(o *scene.Object, what, measure string) []key {
	m, ok := o.Measures[measure]
	if !ok {
		return nil
	}
	return []key{{object: o.Name, what: what, Measure: m}}
}

// foreshortened is the part of a length that a view may hide before the length
// is not drawn there: half a percent, six degrees out of the view's plane.
const foreshortened = 0.005

// sizesFor picks the sizes that a view shows in true length.
func sizesFor(v view, keys []key) []size {
	var out []size
	for _, k := range keys {
		if !k.on(v.file) {
			continue
		}
		z := size{a: k.a, b: k.b, away: k.away, text: k.text(v.file)}
		d := k.along
		switch {
		case d == r3.Vec{}:
			z.along = straight
			d = r3.Sub(k.b, k.a)
		case math.Abs(r3.Dot(d, v.right())) > 0.5:
			z.along = across
		default:
			z.along = upright
		}
		if l := r3.Norm(d); l == 0 || r3.Norm(r3.Cross(d, v.toward()))/l < 1-foreshortened {
			continue
		}
		out = append(out, z)
	}
	return out
}

// text is what stands on the dimension line; a detail shows one object only.
func (k *key) text(file string) string {
	if file == detailFile {
		return k.what + " " + value.MM(k.Value, k.Sigma)
	}
	words := k.object
	if k.short != "" {
		words += " " + k.short
	}
	return words + " " + value.MM(k.Value, k.Sigma)
}

func (k *key) on(file string) bool {
	for _, s := range k.onSheet {
		if s == file {
			return true
		}
	}
	return false
}

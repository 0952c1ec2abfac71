package drawing

import (
	"slices"
	"strings"

	"cellwall/export/drawing/paper"
	"cellwall/export/value"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// The views of a vise are taken in its jaw datum, so that the jaws' sizes show
// in true length: from the front, along -X, and from above, below it.
const (
	surround       = 40. // mm of the cell shown round the vise
	betweenFigures = 18.
	tableWidth     = 142.
)

// detailFile is the view by which sizes ask to be shown on their object's detail.
const detailFile = "detail"

// detail draws one vise.
func detail(s *scene.Scene, o *scene.Object, keys []key, file string, t Title, number, of int) (*paper.Page, error) {
	jaw := o.Pose.R
	y, z := jaw.Axis(1), jaw.Axis(2)
	elevation := &figure{view: view{fromBase: looking(y, z), hidden: true}}
	above := &figure{view: view{file: detailFile, fromBase: looking(y, r3.Scale(-1, jaw.Axis(0))), hidden: true}}
	crop := around(o)
	objects := cropped(s, o, crop)
	elevation.objects, above.objects = objects, objects
	elevation.window = windowOf(elevation.view, o.Pose, crop)
	above.window = windowOf(above.view, o.Pose, crop)
	sizes := sizesFor(above.view, keysAbout(o, keys))
	scale, err := largest(func(r ratio) bool { return stack(elevation, above, r) })
	if err != nil {
		return nil, err
	}
	sh := newSheet(file, "Detail "+o.Name, "above: seen along -X of the jaw datum; below it: seen from above, along -Z of the jaw datum. "+
		"Enclosure, room and what hangs above the jaws are left out", "Detail drawing", scale.String(), number, of, t)
	sh.legend(true, false)
	sh.scaleBar(scale)
	sh.datumTable(o, keys)
	var noRoom []string
	for _, f := range []*figure{elevation, above} {
		perObject := f.trace()
		sh.drawEdges(f)
		sh.Rect(thinPen, f.box())
		sh.frameAxes(f, o.Pose, baseAxis, "")
		labels := labelsOf(f, perObject)
		if f == elevation {
			labels = append(jawLabels(f, o), labels...)
		} else {
			noRoom = sh.drawStraight(f, sizes)
		}
		noRoom = append(noRoom, sh.drawLabels(labels)...)
	}
	sh.note(noRoom)
	return sh.Page, nil
}

// keysAbout are the keys of one object.
func keysAbout(o *scene.Object, keys []key) []key {
	return slices.DeleteFunc(slices.Clone(keys), func(k key) bool { return k.object != o.Name })
}

// around is the space that the detail shows, in the jaw datum.
func around(o *scene.Object) geom.Bounds {
	b := geom.NoBounds()
	for _, s := range o.Solids {
		in := boundsIn(o.Pose, s)
		b.Extend(in.Min)
		b.Extend(in.Max)
	}
	grow := r3.Vec{X: surround, Y: surround, Z: surround}
	return geom.Bounds{Min: r3.Sub(b.Min, grow), Max: r3.Add(b.Max, grow)}
}

// jawLabels names the two jaws, each at the middle of its top.
func jawLabels(f *figure, o *scene.Object) []label {
	names := []string{"fixed jaw", "moving jaw"}
	var out []label
	for i, p := range o.Parts[:min(len(o.Parts), len(names))] {
		b := boundsIn(o.Pose, solid.Box{Box: p})
		var a []r2.Vec
		for _, k := range []float64{0.5, 0.25, 0.75} {
			a = append(a, f.at(o.Pose.Apply(r3.Vec{X: b.Max.X, Y: b.Min.Y + k*(b.Max.Y-b.Min.Y), Z: b.Max.Z})))
		}
		out = append(out, label{text: names[i], anchors: a})
	}
	return out
}

// cropped is what of the scene lies in the crop and does not hide the jaws.
func cropped(s *scene.Scene, vise *scene.Object, crop geom.Bounds) []*scene.Object {
	var out []*scene.Object
	for i := range s.Objects {
		o := s.Objects[i]
		switch o.Kind {
		case fit.Enclosure, fit.Floor, fit.Wall, fit.Ceiling:
			continue
		}
		if o.Name != vise.Name {
			o.Solids = slices.DeleteFunc(slices.Clone(o.Solids), func(p solid.Solid) bool {
				b := boundsIn(vise.Pose, p)
				return b.Min.Z > 0 || apart(b, crop)
			})
		}
		if len(o.Solids) > 0 {
			out = append(out, &o)
		}
	}
	return out
}

// boundsIn is the box of a solid along the axes of a frame.
func boundsIn(baseFromFrame geom.Pose, s solid.Solid) geom.Bounds {
	frameFromBase := baseFromFrame.Inverse()
	b := geom.NoBounds()
	for _, v := range s.Mesh(0).Vertices {
		b.Extend(frameFromBase.Apply(v))
	}
	return b
}

func apart(a, b geom.Bounds) bool {
	return a.Min.X > b.Max.X || b.Min.X > a.Max.X ||
		a.Min.Y > b.Max.Y || b.Min.Y > a.Max.Y ||
		a.Min.Z > b.Max.Z || b.Min.Z > a.Max.Z
}

// windowOf is the crop in a view's plane.
func windowOf(v view, baseFromJaw geom.Pose, crop geom.Bounds) r2.Box {
	corner := func(p r3.Vec) r2.Vec { return flat(v.fromBase.Apply(baseFromJaw.Apply(p))) }
	w := r2.Box{Min: corner(crop.Min), Max: corner(crop.Min)}
	return include(include(w, corner(crop.Min)), corner(crop.Max))
}

// stack puts the elevation over the view from above, as first-angle projection
// has them, and tells whether they fit beside the table.
func stack(elevation, above *figure, r ratio) bool {
	x0, x1 := field.Min.X+labelRoom+10, field.Max.X-tableWidth-labelRoom
	y0, y1 := field.Min.Y+labelRoom, field.Max.Y-8
	we, wa := elevation.size(r), above.size(r)
	x := (x0 + x1 - wa.X) / 2
	y := (y0 + y1 - wa.Y - we.Y - betweenFigures) / 2
	above.put(r, r2.Vec{X: x, Y: y})
	elevation.put(r, r2.Vec{X: x, Y: y + wa.Y + betweenFigures})
	return wa.X <= x1-x0 && wa.Y+we.Y+betweenFigures <= y1-y0
}

// datumTable lists where the jaw datum stands in the base, and its sizes.
func (s *sheet) datumTable(o *scene.Object, keys []key) {
	roll, pitch, yaw := o.Pose.R.RPY()
	sigma := o.Cov.SigmaR()
	rows := [][2]string{{"Jaw datum of " + o.Name + " in the base", ""}}
	for _, k := range keysAbout(o, keys) {
		rows = append(rows, [2]string{k.what, value.MM(k.Value, k.Sigma) + " mm"})
	}
	rows = append(rows,
		[2]string{"roll, about fixed X", value.Deg(roll, sigma.X)},
		[2]string{"pitch, about fixed Y", value.Deg(pitch, sigma.Y)},
		[2]string{"yaw, about fixed Z", value.Deg(yaw, sigma.Z)})
	x, y := field.Max.X-tableWidth, field.Max.Y-14.
	for i, r := range rows {
		s.write(x+2, y+2.3, paper.Fit(r[0], paper.Medium, tableWidth/2), paper.Medium)
		s.Text(paper.Text{At: r2.Vec{X: x + tableWidth - 10, Y: y + 2.3}, S: r[1], Height: paper.Medium, Align: paper.Right, Color: black})
		pen := thinPen
		if i == 0 {
			pen = framePen
		}
		s.Line(pen, r2.Vec{X: x, Y: y}, r2.Vec{X: x + tableWidth - 8, Y: y})
		y -= 8
	}
	about := "Origin: middle of the fixed jaw's top inner edge. Y from the fixed jaw's face to the moving jaw, Z up out of the jaw tops, X = Y x Z. " +
		"Roll, pitch, yaw: R = Rz(yaw) Ry(pitch) Rx(roll)."
	if len(o.Claims) > 0 {
		about += " Taken from cell.yaml, not measured: " + strings.Join(o.Claims, ", ") + "."
	}
	for _, l := range paper.Wrap(about, paper.Small, tableWidth-10) {
		s.write(x+2, y, l, paper.Small)
		y -= leading
	}
	s.ink.take(r2.NewBox(x-4, y, field.Max.X, field.Max.Y))
}

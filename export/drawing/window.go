package drawing

import (
	"cellwall/fit"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r2"
)

// Room kept free round a view for labels, mm of paper.
const labelRoom = 14.

// surroundings is what is shown of the room round the objects in it where all of
// the room would cost a scale, mm.
const surroundings = 300.

// frame chooses window, scale and place: the whole room, or, where that allows a
// larger scale, the objects in it.
func (f *figure) frame(sizes []size) (r ratio, cropped bool, err error) {
	f.window = extent(f.view, f.objects)
	r, err = largest(func(r ratio) bool { return f.settle(r, sizes) })
	if err != nil || f.view.whole {
		return r, false, err
	}
	core := &figure{view: f.view, objects: furniture(f.objects)}
	if len(core.objects) > 0 {
		core.window = grown(extent(f.view, core.objects), surroundings)
		closer, err := largest(func(r ratio) bool { return core.settle(r, sizes) })
		if err == nil && closer.of() > r.of() {
			f.window, f.scale, f.origin = core.window, core.scale, core.origin
			return closer, true, nil
		}
	}
	f.settle(r, sizes)
	return r, false, nil
}

// furniture is what stands in the room; crumbs in its corners are not.
func furniture(objects []*scene.Object) []*scene.Object {
	var out []*scene.Object
	for _, o := range objects {
		switch o.Kind {
		case fit.Floor, fit.Wall, fit.Ceiling, scene.Remainder:
		default:
			out = append(out, o)
		}
	}
	return out
}

func grown(b r2.Box, by float64) r2.Box {
	return r2.NewBox(b.Min.X-by, b.Min.Y-by, b.Max.X+by, b.Max.Y+by)
}

// settle puts the figure in the middle of what the rows of sizes leave of the
// field, and tells whether it fits.
func (f *figure) settle(r ratio, sizes []size) bool {
	f.put(r, r2.Vec{})
	left, below := depth(rows(f, sizes, upright)), depth(rows(f, sizes, across))
	x0, x1 := field.Min.X+max(left, labelRoom)+2, field.Max.X-labelRoom
	y0, y1 := field.Min.Y+max(below, labelRoom)+2, field.Max.Y-labelRoom
	w := f.size(r)
	f.put(r, r2.Vec{X: (x0 + x1 - w.X) / 2, Y: (y0 + y1 - w.Y) / 2})
	for _, l := range append(rows(f, sizes, upright), rows(f, sizes, across)...) {
		if l.along == upright && (l.least < field.Min.Y+2 || l.most > field.Max.Y-2) ||
			l.along == across && (l.least < field.Min.X+2 || l.most > field.Max.X-2) {
			return false
		}
	}
	return w.X <= x1-x0 && w.Y <= y1-y0
}

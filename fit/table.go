package fit

import (
	"fmt"
	"math"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Table tops lie within this range above the floor, mm (ISO 14738: working
// heights of 700 to 1200 for sitting to standing; from memory) and cover at
// least minTop, mm^2.
const (
	lowTop  = 400
	highTop = 1300
	minTop  = 0.15e6
)

// table is a level top with room under it, as far as it was seen.
type table struct {
	pieces    []int
	top       bound
	frame     geom.Pose // of the sheet: X along the long side, Z up
	sheet     *sheet
	extent    rect
	ends      [4]bound // -X, +X, -Y, +Y
	turnSigma float64  // of the frame about the top's normal
	missing   []string
}

// findTables lists the level tops at working height, outside of the machines,
// under which something was seen: the floor, or whatever stands there.
func (s *survey) findTables(stations []station) []table {
	if s.floor == nil {
		return nil
	}
	var out []table
	for _, g := range s.groups(s.free(func(f *surface.Surface) bool { return s.topLike(f) && stationAt(stations, f.Centre) == "" }), thingGap) {
		if s.area(g) < minTop {
			continue
		}
		t := table{pieces: g, top: s.fused(g)}
		s.layOut(&t)
		if s.roomUnder(&t) {
			out = append(out, t)
		}
	}
	return out
}

func (s *survey) topLike(f *surface.Surface) bool {
	h := s.height(f.Centre)
	return s.level(f) && h > lowTop && h < highTop
}

// layOut finds the rectangle of the top: first the least one about what was
// seen, then each of its ends, and the turn that the longest of them give.
func (s *survey) layOut(t *table) {
	flatTop := t.top.Frame(t.top.Centre)
	corners := s.corners(t.pieces)
	points := make([]r2.Vec, len(corners))
	for i, p := range corners {
		q := flatTop.Inverse().Apply(p)
		points[i] = r2.Vec{X: q.X, Y: q.Y}
	}
	r := flat.LeastRectangle(points)
	t.frame = longAlongX(flatTop, r)
	for range 3 {
		t.extent = projectOn(t.frame, corners)
		t.sheet = newSheet(s.cloud, t.frame, t.extent.grown(2*borderReach))
		turn, sigma, ok := t.turn()
		if !ok {
			break
		}
		t.turnSigma = sigma
		t.frame.R = geom.Exp(r3.Scale(turn, t.frame.R.Axis(2))).Mul(t.frame.R)
	}
	for e := range t.ends {
		t.ends[e] = s.tableEnd(t, e)
	}
}

// turn is by how much the frame is off the direction of the top's ends, from
// the slopes of the borders that both sides bound.
func (t *table) turn() (turn, sigma float64, ok bool) {
	var info, sum float64
	for e := range 4 {
		b, found := t.border(e)
		if !found || !b.open || !b.closed || b.slopeSigma == 0 {
			continue
		}
		slope := b.slope // of an end along X: to the left
		if e < 2 {
			slope = -slope
		}
		w := 1 / (b.slopeSigma * b.slopeSigma)
		info, sum = info+w, sum+w*slope
	}
	if info == 0 {
		return 0, 0, false
	}
	return sum / info, 1 / math.Sqrt(info), true
}

// border reads end e of the top against the rays.
func (t *table) border(e int) (border, bool) {
	a := e / 2
	guess, solid := t.extent.edge(a, e%2), float64(1-2*(e%2))
	return t.sheet.find(search{axis: a, solid: solid, guess: guess, reach: borderReach, from: t.extent.lo[1-a], to: t.extent.hi[1-a]})
}

// endName says where an end is, as the table's own axes have it.
var endName = [4]string{"-X", "+X", "-Y", "+Y"}

// tableEnd is the bound of end e: as the rays show it, or between the top's end
// and the wall behind it.
func (s *survey) tableEnd(t *table, e int) bound {
	a, out := e/2, float64(2*(e%2)-1)
	normal := r3.Scale(out, t.frame.R.Axis(a))
	b, ok := t.border(e)
	if !ok || !b.closed {
		b = border{at: t.extent.edge(a, e%2), sigma: oneSided}
	}
	if !b.open {
		limit, found := s.wallBeyond(t, normal, out*b.at)
		if !found {
			t.missing = append(t.missing, fmt.Sprintf("where its top ends toward its %s", endName[e]))
		} else {
			limit *= out
			b.at, b.sigma = (b.at+limit)/2, max(math.Abs(limit-b.at)/math.Sqrt(12), oneSided)
		}
	}
	var at [2]float64
	at[a], at[1-a] = b.at, (t.extent.lo[1-a]+t.extent.hi[1-a])/2
	return edgeBound(normal, t.frame.Apply(r3.Vec{X: at[0], Y: at[1]}), b.sigma)
}

// wallBeyond is how far from the frame's origin along normal a face stands that
// looks back at the top, just beyond its end.
func (s *survey) wallBeyond(t *table, normal r3.Vec, end float64) (float64, bool) {
	nearest := math.Inf(1)
	for _, i := range s.everyPlane(r3.Scale(-1, normal)) {
		f := &s.surfaces[i]
		if x := crossing(f.Plane, t.frame.T, normal); x-end > -rasterPitch && x-end < 2*sheetMetal && f.Area > minInner {
			nearest = min(nearest, x)
		}
	}
	return nearest, !math.IsInf(nearest, 1)
}

// longAlongX turns a level frame to the rectangle: origin at its centre, X along
// its long side toward the base's +X.
func longAlongX(flatTop geom.Pose, r flat.Rectangle) geom.Pose {
	u := r.U
	if r.Size.Y > r.Size.X {
		u = r2.Vec{X: -u.Y, Y: u.X}
	}
	x := flatTop.R.Apply(r3.Vec{X: u.X, Y: u.Y})
	if x.X < 0 {
		x = r3.Scale(-1, x)
	}
	z := flatTop.R.Axis(2)
	return geom.Pose{R: geom.RotFromAxes(x, r3.Cross(z, x), z), T: flatTop.Apply(r3.Vec{X: r.Centre.X, Y: r.Centre.Y})}
}

// table makes the object, with the datum of DESIGN.md section 3, and takes its
// top.
func (s *survey) table(t *table) Object {
	guide := edgeBound(t.frame.R.Axis(1), t.top.Centre, 0)
	guide.Cov[2][2] = t.turnSigma * t.turnSigma // about its upright axis
	from := append([]bound{t.top, guide}, t.ends[:]...)
	mid := t.frame.Apply(r3.Vec{X: (t.extent.lo[0] + t.extent.hi[0]) / 2, Y: (t.extent.lo[1] + t.extent.hi[1]) / 2})
	build := func(p []geom.Plane) (geom.Pose, bool) { return tableDatum(p, mid) }
	o := Object{Kind: Table, Measures: map[string]Measure{}, Parts: s.legs(t)}
	o.Pose, o.Cov, _ = datum(from, build)
	for a, name := range [2]string{"length_mm", "width_mm"} {
		o.Measures[name], _ = measure(t.ends[2*a:2*a+2], func(p []geom.Plane) (float64, bool) {
			d := t.frame.R.Axis(a)
			return crossing(p[1], mid, d) - crossing(p[0], mid, d), true
		})
	}
	o.Measures["height_mm"], _ = measure([]bound{t.top, *s.floor}, func(p []geom.Plane) (float64, bool) {
		return p[1].Distance(p[0].Foot(mid)), true
	})
	s.takeGroup(&o, "top", t.pieces)
	return o
}

// tableDatum is the datum of the top, a guide along its long side and its four
// ends.
func tableDatum(p []geom.Plane, mid r3.Vec) (geom.Pose, bool) {
	z := p[0].Normal
	x := r3.Unit(r3.Cross(p[1].Normal, z))
	r := geom.RotFromAxes(x, r3.Cross(z, x), z)
	at := p[0].Foot(mid)
	for a := range 2 {
		d := r.Axis(a)
		at = r3.Add(at, r3.Scale((crossing(p[2+2*a], mid, d)+crossing(p[3+2*a], mid, d))/2, d))
	}
	return geom.Pose{R: r, T: at}, true
}

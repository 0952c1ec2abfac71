package fit

import (
	"math"
	"slices"

	"cellwall/fit/surface"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Table tops lie within this range above the floor, mm (common practice: 700 to
// 1200 mm for working heights; carts and racks are lower), and cover at least
// minTop, mm^2.
const (
	lowTop  = 400
	highTop = 1300
	minTop  = 0.15e6
)

// knownTurn is how well the direction of a table's long side must be known, rad: so
// that twice that is among the turns that its ends are weighed by. stillTurn is by how
// much the last round may still turn it, rad.
const (
	knownTurn = mostTurn / 2
	stillTurn = math.Pi / 180
)

// turned tells whether it is known how the top is turned, by one end at least that
// runs so. A frame that the last round still turned walks after something else.
func (t *tabletop) turned() bool {
	runs := func(e tableEnd) bool { return e.turnSigma > 0 || e.lean != nil && !t.askew && e.lean.runs() }
	return t.turnSigma <= knownTurn && math.Abs(t.turnLeft) <= stillTurn && slices.ContainsFunc(t.ends[:], runs)
}

// table is a level top that may be a table's.
type table struct {
	tabletop
	room   bool   // something was seen under it
	closed bool   // sides go down from its rim: a cabinet under a worktop, or a block
	sided  bool   // sides were seen that may go down, deeper than a board's apron
	inside string // the machine that it stands in, "" for none
}

// findTables lists the level tops at working height in the room and in the
// machines that are named, what hints lie at two of being two.
func (s *survey) findTables(stations []station, machines []string, hints []r3.Vec) []table {
	if s.floor == nil {
		return nil
	}
	tops := s.free(func(f *surface.Surface) bool {
		in := stationAt(stations, f.Centre)
		return s.topLike(f) && (in == "" || slices.Contains(machines, in))
	})
	var groups [][]int
	for _, g := range s.groups(tops, thingGap) {
		groups = append(groups, s.undivided(g)...)
	}
	groups = s.across(groups, hints)
	groups = slices.DeleteFunc(groups, func(g []int) bool { return s.area(g) < minTop })
	laid := make([]tabletop, len(groups))
	cores.Each(len(groups), func(i int) { laid[i] = s.layOut(groups[i]) })
	var out []table
	for i := range laid {
		t := table{tabletop: laid[i], inside: stationAt(stations, s.surfaces[groups[i][0]].Centre)}
		t.room = s.roomUnder(&t.tabletop)
		t.closed = !t.room && s.solidUnder(&t.tabletop, blockSide)
		t.sided = !t.room && s.solidUnder(&t.tabletop, apronSide)
		out = append(out, t)
	}
	return out
}

func (s *survey) topLike(f *surface.Surface) bool {
	h := s.height(f.Centre)
	return s.level(f) && h > lowTop && h < highTop
}

// sideSeen names the side of a thing at p that looks along normal, as one sees
// it from the base.
func sideSeen(normal, p r3.Vec) string {
	away := level(p, r3.Vec{Z: 1})
	switch c := r3.Dot(normal, away); {
	case c > math.Sqrt2/2:
		return "far side"
	case c < -math.Sqrt2/2:
		return "near side"
	}
	if r3.Cross(away, normal).Z > 0 {
		return "left side"
	}
	return "right side"
}

// table makes the object, with the datum of DESIGN.md section 3, and takes its
// top.
func (s *survey) table(t *table) Object {
	guide := edgeBound(t.frame.R.Axis(1), t.top.Centre, 0)
	guide.Cov[2][2] = t.turnSigma * t.turnSigma // about its upright axis
	ends := []bound{t.ends[0].bound, t.ends[1].bound, t.ends[2].bound, t.ends[3].bound}
	from := append([]bound{t.top, guide}, ends...)
	mid := t.frame.Apply(r3.Vec{X: (t.extent.lo[0] + t.extent.hi[0]) / 2, Y: (t.extent.lo[1] + t.extent.hi[1]) / 2})
	o := Object{Kind: Table, Inside: t.inside, Measures: map[string]Measure{}}
	o.NotSeen = t.notSeen()
	if t.closed {
		o.Parts = []geom.Box{t.body(s.height(t.top.Centre))}
	} else {
		o.Parts = s.legs(&t.tabletop)
	}
	build := func(p []geom.Plane) (geom.Pose, bool) { return tableDatum(p, mid) }
	o.Pose, o.Cov, _ = datum(from, build)
	o.Budget = budget(from, build)
	if t.longerUnseen() {
		o.Cov = o.Cov.Plus(eitherWay(o.Pose.R))
	}
	for a, name := range [2]string{"length_mm", "width_mm"} {
		o.Measures[name], _ = measure(ends[2*a:2*a+2], func(p []geom.Plane) (float64, bool) {
			d := t.frame.R.Axis(a)
			return crossing(p[1], mid, d) - crossing(p[0], mid, d), true
		})
	}
	if t.longerUnseen() {
		long, short := t.eitherSide()
		o.Measures["length_mm"] = o.Measures["length_mm"].within(long)
		o.Measures["width_mm"] = o.Measures["width_mm"].within(short)
	}
	o.Measures["height_mm"], _ = measure([]bound{t.top, *s.floor}, func(p []geom.Plane) (float64, bool) {
		return p[1].Distance(p[0].Foot(mid)), true
	})
	s.takeGroup(&o, "top", t.pieces)
	if t.closed {
		s.takeNamed(&o, "side", o.Parts, rimWidth)
	} else {
		s.takeNamed(&o, "leg", o.Parts, jawSkin)
	}
	s.takeNamed(&o, "edge", []geom.Box{t.board()}, jawSkin)
	return o
}

// eitherWay is what a datum may be turned by about its Z where it may stand a right
// angle off either way: as far as that is one standard deviation.
func eitherWay(r geom.Rot) geom.Cov6 {
	var c geom.Cov6
	c[5][5] = math.Pi * math.Pi / 4
	return c.Turned(r)
}

// board is the space of the top's board with its apron.
func (t *tabletop) board() geom.Box { return t.body(underTop) }

// body is the space under the top as far down as deep mm.
func (t *tabletop) body(deep float64) geom.Box {
	mid := r3.Vec{X: (t.extent.lo[0] + t.extent.hi[0]) / 2, Y: (t.extent.lo[1] + t.extent.hi[1]) / 2, Z: -deep / 2}
	return geom.Box{
		Pose: geom.Pose{R: t.frame.R, T: t.frame.Apply(mid)},
		Size: r3.Vec{X: t.extent.size(0), Y: t.extent.size(1), Z: deep},
	}
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

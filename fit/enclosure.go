package fit

import (
	"fmt"
	"math"
	"slices"

	"cellwall/fit/vise"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// machine is a place where an enclosure stands, as far as it was seen.
type machine struct {
	name string
	front
	shell
	ends    [2]bound // where the front ends on the left and on the right
	depth   float64  // how far behind the front something was seen, mm
	missing []string // what was not seen of it and is needed for its datum
	stands  bool     // none of its sides was seen, but the front stands by itself with a sill, a lintel and a back behind them
	likely  bool     // only its back was seen behind the front: a door in a wall of the room looks like that too
	whole   bool     // enough was seen to call it a machine where nobody said that one stands there
	free    [2]bool  // rays went past where the front ends on the left and on the right
	outside bool     // rays that went past outside its sides seemed to go through the opening
}

// findMachines lists the fronts with a shell behind them, and those without. A
// mouth between two sides counts where no front with a sheet was made out.
func (s *survey) findMachines() (out []machine, bare []front) {
	for _, f := range s.findFronts() {
		m := s.machineBehind(f)
		if !m.closes() && !m.stands && !m.likely {
			bare = append(bare, f)
			continue
		}
		out = append(out, m)
	}
	for _, f := range s.findMouths() {
		m := s.machineBehind(f)
		at := slices.IndexFunc(out, func(o machine) bool { return o.overlaps(&m) })
		switch {
		case !m.closes() || m.depth < minDepth || !m.joined():
		case at < 0:
			out = append(out, m)
		case m.missing == nil && (out[at].missing != nil || out[at].hole.lo[1] < bracketReach || out[at].outside):
			out[at] = m // it has no sill, so the sheets that end on it may be all that ends the opening below, or nothing but its sides ends it there
		}
	}
	return out, bare
}

// machineBehind is the machine of a front, as far as it was seen.
func (s *survey) machineBehind(f front) machine {
	m := machine{front: f, shell: s.findShell(&f)}
	m.depth = s.depth(&m)
	for _, d := range [2]side{left, right} {
		s.holdInside(&m, d)
		b, ok := m.sheet.find(m.endSearches()[d])
		m.free[d] = ok && b.open && b.closed && !s.fallsShort(&m, d, b)
		end, ok := s.endOf(&m, d)
		if !ok {
			m.missing = append(m.missing, fmt.Sprintf("where the front ends on the %s", d))
		}
		m.ends[d] = end
	}
	m.stands = m.inner[back] != nil && m.freeStanding()
	m.likely = m.inner[back] != nil && !m.stands && !m.closes()
	m.whole = s.whole(&m)
	if s.floor == nil {
		m.missing = append(m.missing, "the floor before it")
	}
	return m
}

// freeStanding tells whether the front ends on both sides in an edge past which
// rays went, and all round its opening: no wall of a room does, nor a fence's gate.
func (m *machine) freeStanding() bool {
	for _, q := range m.endSearches() {
		if b, ok := m.sheet.find(q); !ok || !b.open || !b.closed || !b.straight {
			return false
		}
	}
	return m.depth > minDepth && m.rims[0][0].closed && m.rims[0][1].closed && m.rims[1][0].closed && m.rims[1][1].closed
}

// overlaps tells whether the middle of one machine lies in the other.
func (m *machine) overlaps(o *machine) bool {
	a, b := m.inside(0), o.inside(0)
	return a.Contains(b.Pose.T) || b.Contains(a.Pose.T)
}

// depth is how far behind the front its shell was seen.
func (s *survey) depth(m *machine) float64 {
	deep := 0.0
	for d := range numSides {
		for _, g := range [2][]int{m.inner[d], m.outer[d]} {
			if g != nil {
				_, hi := m.box(s.corners(g))
				deep = max(deep, hi.X)
			}
		}
	}
	return deep
}

// inside is the space within the sheets, from before mm before the front, as a
// box in base.
func (m *machine) inside(before float64) geom.Box {
	return m.behind(m.extent, before)
}

// behind is the space behind a part of the front, and before it, down to the floor.
func (m *machine) behind(part rect, before float64) geom.Box {
	wide, high := part.size(0), part.hi[1]
	mid := r3.Vec{X: (m.depth - before) / 2, Y: -(part.lo[0] + part.hi[0]) / 2, Z: high / 2}
	return geom.Box{
		Pose: geom.Pose{R: m.frame.R, T: m.frame.Apply(mid)},
		Size: r3.Vec{X: m.depth + before, Y: wide, Z: high},
	}
}

// station is where things may stand in the machine: behind its front, that is, as far
// as one may be wide on a side on which it was not seen to end.
func (m *machine) station() station {
	front := m.extent
	if m.ends[left].Normal == (r3.Vec{}) {
		front.lo[0] = m.extent.hi[0] - maxFrontWidth
	}
	if m.ends[right].Normal == (r3.Vec{}) {
		front.hi[0] = m.extent.lo[0] + maxFrontWidth
	}
	return station{name: m.name, place: vise.Place{Frame: m.frame, Box: m.behind(front, 0)}, body: m.inside(proud)}
}

// enclosure makes the object, with the datum of DESIGN.md section 3, and takes
// its faces.
func (s *survey) enclosure(m *machine) Object {
	from := []bound{m.face, *s.floor, m.ends[left], m.ends[right]}
	o := Object{Name: m.name, Kind: Enclosure, Measures: map[string]Measure{}}
	o.Pose, o.Cov, _ = datum(from, enclosureDatum)
	o.Budget = budget(from, enclosureDatum)
	if w, ok := measure(from, func(p []geom.Plane) (float64, bool) {
		l, r, ok := frontEnds(p)
		return r3.Norm(r3.Sub(l, r)), ok
	}); ok {
		o.Measures["width_mm"] = w
	}
	s.measureShell(m, &o)
	o.Opening = m.openingIn(o.Pose)
	for a, name := range [2]string{"opening_width_mm", "opening_height_mm"} {
		if sigma := math.Hypot(m.rims[a][0].sigma, m.rims[a][1].sigma); !math.IsInf(sigma, 1) {
			o.Measures[name] = Measure{m.hole.size(a), sigma}
		}
	}
	o.NotSeen = m.notSeen()
	s.takeShell(m, &o)
	return o
}

// notSeen lists the sheets that no face was seen of: where they are is a bound and
// no measurement.
func (m *machine) notSeen() (out []string) {
	if m.mouth && m.pieces == nil {
		out = append(out, "a front (its sides end there, and their edges stand for it)")
	}
	for _, d := range [4]side{left, right, back, top} {
		switch {
		case m.outer[d] != nil:
		case m.inner[d] != nil:
			out = append(out, fmt.Sprintf("the %s from outside", d))
		default:
			out = append(out, fmt.Sprintf("the %s", d))
		}
	}
	return out
}

// enclosureDatum is the datum of front, floor, left end and right end.
func enclosureDatum(p []geom.Plane) (geom.Pose, bool) {
	l, r, ok := frontEnds(p)
	if !ok {
		return geom.Pose{}, false
	}
	x := r3.Scale(-1, p[0].Normal)
	y := r3.Unit(r3.Sub(l, r))
	return geom.Pose{R: geom.RotFromAxes(x, y, r3.Cross(x, y)), T: r3.Scale(0.5, r3.Add(l, r))}, true
}

// frontEnds are the left and right end of the front's lower edge on the floor.
func frontEnds(p []geom.Plane) (l, r r3.Vec, ok bool) {
	l, ok1 := geom.Meet(p[0], p[1], p[2])
	r, ok2 := geom.Meet(p[0], p[1], p[3])
	return l, r, ok1 && ok2
}

// measureShell adds the height and depth where both of their ends were seen.
func (s *survey) measureShell(m *machine, o *Object) {
	b, ok := m.sheet.find(search{axis: 1, solid: -1, level: true, guess: m.extent.hi[1], reach: borderReach, from: m.extent.lo[0], to: m.extent.hi[0]})
	switch {
	case m.outer[top] != nil:
		roof := s.fused(m.outer[top])
		o.Measures["height_mm"], _ = measure([]bound{m.face, *s.floor, roof}, func(p []geom.Plane) (float64, bool) {
			return heightAlong(p, o.Pose)
		})
	case ok && b.open && b.closed && b.straight:
		o.Measures["height_mm"] = Measure{b.at, b.sigma}
	}
	for _, d := range [2]side{left, right} {
		if depth, ok := s.depthAlong(m, d); ok {
			o.Measures["depth_mm"] = depth
		}
	}
}

// depthAlong is how deep the machine is where the outer face of side d was seen
// to its rear end.
func (s *survey) depthAlong(m *machine, d side) (Measure, bool) {
	g := m.outer[d]
	if g == nil {
		return Measure{}, false
	}
	face := s.fused(g)
	x := r3.Unit(r3.Sub(m.frame.R.Axis(0), r3.Scale(r3.Dot(m.frame.R.Axis(0), face.Normal), face.Normal)))
	frame := geom.Pose{R: geom.RotFromAxes(x, r3.Cross(face.Normal, x), face.Normal), T: face.Centre}
	region := projectOn(frame, s.corners(g))
	sheet := s.newSheet(frame, region.grown(bracketReach), g)
	extent := sheet.raster(region).solid()
	b, ok := sheet.find(search{axis: 0, solid: -1, guess: extent.hi[0], reach: borderReach, from: extent.lo[1], to: extent.hi[1]})
	if !ok || !b.open || !b.closed || !b.straight {
		return Measure{}, false
	}
	rear := frame.Apply(r3.Vec{X: b.at, Y: (extent.lo[1] + extent.hi[1]) / 2})
	return Measure{-m.face.Distance(rear), math.Hypot(b.sigma, math.Sqrt(m.face.Cov[0][0]))}, true
}

// heightAlong is from floor to roof along the datum's Z axis.
func heightAlong(p []geom.Plane, datum geom.Pose) (float64, bool) {
	z := datum.R.Axis(2)
	up := func(pl geom.Plane) float64 { return -pl.Distance(datum.T) / r3.Dot(pl.Normal, z) }
	return up(p[2]) - up(p[1]), true
}

// takeShell gives the enclosure its faces.
func (s *survey) takeShell(m *machine, o *Object) {
	s.takeGroup(o, "front", m.pieces)
	for d := range numSides {
		s.takeGroup(o, d.String(), m.outer[d])
		s.takeGroup(o, d.String()+"-inside", m.inner[d])
	}
}

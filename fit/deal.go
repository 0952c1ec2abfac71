package fit

import (
	"fmt"
	"slices"
	"strings"

	"cellwall/fit/surface"
	"cellwall/mapping/cell"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// dealFloor finds the floor, which says what is up.
func (s *survey) dealFloor(f *Findings, wanted []cell.Wanted) {
	floor := s.findFloor()
	f.add(floor, ofKind(wanted, Floor), origin, noFloor, lookDown)
	if len(floor) == 0 && len(ofKind(wanted, Floor)) == 0 {
		f.Refused = append(f.Refused, Refusal{Name: string(Floor), Kind: Floor, Reason: noFloor, ScanNext: lookDown})
	}
}

// dealCeiling finds the ceiling once it is known what a machine's roof is.
func (s *survey) dealCeiling(f *Findings, wanted []cell.Wanted, stations []station) {
	f.add(s.findCeiling(stations), ofKind(wanted, Ceiling), origin,
		"no large level surface overhead was seen", "a swing that looks up")
}

const (
	noFloor  = "no large level surface with nothing below it was seen; up is the base's Z, and heights count from the base"
	lookDown = "the floor round the base, from a posture that looks down"
)

// dealEnclosures finds the machines and names them. Of a wanted one that lacks a
// face the datum is refused; where to look for its vise is known all the same.
func (s *survey) dealEnclosures(f *Findings, wanted []cell.Wanted) []station {
	machines, bare := s.findMachines()
	want := ofKind(wanted, Enclosure)
	machines = convincing(machines, len(want))
	far := func(c int, hint r3.Vec) float64 { return machines[c].inside(0).Distance(hint) }
	among := 0 // of how many one is wanted, and nothing tells which
	for w, m := range match(want, len(machines), far) {
		if m.candidate < 0 {
			f.Refused = append(f.Refused, m.refusal(want[w], noMachine(bare),
				"the machine's front from straight before it, and its sides through the open door"))
			among = max(among, m.among)
			continue
		}
		machines[m.candidate].name = want[w].Name
		f.refuse(want[w], machines[m.candidate].missing)
	}
	machines = shown(machines, among)
	nameMachines(machines)
	var stations []station
	for i := range machines {
		m := &machines[i]
		stations = append(stations, m.station())
		if m.missing == nil {
			f.Objects = append(f.Objects, s.enclosure(m))
			if r := m.boundedOpening(); r != nil {
				f.Refused = append(f.Refused, *r)
			}
		}
	}
	return stations
}

// convincing leaves out the machines that are only likely, but where cell.yaml
// names more than there are others: its word and what was seen make one. One whose
// front stands by itself may be what is meant: it stays a candidate.
func convincing(machines []machine, wanted int) []machine {
	sure := slices.DeleteFunc(slices.Clone(machines), func(m machine) bool { return m.likely })
	if len(sure) < wanted {
		return machines
	}
	return sure
}

// shown leaves out the machines that nobody named and of which not all sides were
// seen, unless one is wanted among several: then this one may be meant.
func shown(machines []machine, among int) []machine {
	return slices.DeleteFunc(machines, func(m machine) bool {
		return m.name == "" && !m.whole && (among < 2 || m.missing != nil)
	})
}

// noMachine says what is missing where no machine was recognised.
func noMachine(bare []front) string {
	if len(bare) == 0 {
		return "no upright face with an opening in it was seen"
	}
	p := bare[0].holeMiddle()
	return fmt.Sprintf("behind the opening in the upright face at (%.0f, %.0f, %.0f) no side of a machine was seen", p.X, p.Y, p.Z)
}

// nameMachines numbers the machines that have no name, by azimuth.
func nameMachines(machines []machine) {
	slices.SortStableFunc(machines, func(a, b machine) int { return byAzimuth(a.frame.T, b.frame.T) })
	n := 0
	for i := range machines {
		if machines[i].name == "" {
			n++
			machines[i].name = numbered(string(Enclosure), n)
		}
	}
}

// refuse says what was not seen of a wanted object that was recognised.
func (f *Findings) refuse(w cell.Wanted, missing []string) {
	if missing == nil {
		return
	}
	f.Refused = append(f.Refused, Refusal{
		Name: w.Name, Kind: Kind(w.Kind), Near: w.Near,
		Reason:   "it stands there, but was not seen: " + strings.Join(missing, "; "),
		ScanNext: strings.Join(missing, "; "),
	})
}

// dealWalls names the walls and fences.
func (s *survey) dealWalls(f *Findings, wanted []cell.Wanted, walls []Object) {
	f.add(walls, ofKind(wanted, Wall), facing,
		"no large upright face that is part of nothing else was seen", "the wall, from closer or from before it")
}

// dealPosts finds the upright cylinders.
func (s *survey) dealPosts(f *Findings, wanted []cell.Wanted, stations []station) {
	posts := s.findPosts()
	stand(posts, stations)
	f.add(posts, ofKind(wanted, Post), origin,
		"no upright round post was seen", "the post from two sides")
}

// dealBlocks names what is bounded by faces that meet in edges, or shows one.
func (s *survey) dealBlocks(f *Findings, wanted []cell.Wanted, stations []station, blocks []Object) {
	stand(blocks, stations)
	f.add(blocks, ofKind(wanted, Block), origin,
		"no set of faces that meet in edges was seen there", "the block from a posture that sees two of its sides and its top")
}

// dealInside gives the machines what else was seen of them.
func (s *survey) dealInside(f *Findings, stations []station) {
	for i := range f.Objects {
		for _, st := range stations {
			if f.Objects[i].Kind == Enclosure && f.Objects[i].Name == st.name {
				s.takeParts(&f.Objects[i], st.body)
			}
		}
	}
}

// rest is what no object has.
func (s *survey) rest() []surface.Surface {
	var out []surface.Surface
	for i := range s.surfaces {
		if !s.taken[i] {
			out = append(out, s.surfaces[i])
		}
	}
	return out
}

// takeParts gives the enclosure the surfaces left within it and on its front:
// guards, trays, a door's frame and leaf, parts of the machine with a single face
// seen.
func (s *survey) takeParts(o *Object, body geom.Box) {
	parts := s.free(func(f *surface.Surface) bool { return body.Contains(f.Centre) })
	for n, i := range parts {
		o.Faces = append(o.Faces, s.take(numbered("part", n+1), i))
	}
}

// ofRoom tells whether a surface is part of no machine: neither within one nor
// its sheet metal.
func ofRoom(f *surface.Surface, stations []station) bool {
	return !slices.ContainsFunc(stations, func(st station) bool {
		return st.body.Contains(f.Centre) || holds(st.body.Grown(sheetMetal), f.Outline)
	})
}

// stand says in which machine each object stands.
func stand(objects []Object, stations []station) {
	for i := range objects {
		objects[i].Inside = stationAt(stations, middle(&objects[i]))
	}
}

// stationAt is the name of the machine in which p lies, "" where in none.
func stationAt(stations []station, p r3.Vec) string {
	for _, st := range stations {
		if st.place.Box.Contains(p) {
			return st.name
		}
	}
	return ""
}

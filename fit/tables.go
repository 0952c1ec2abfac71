package fit

import (
	"slices"

	"cellwall/mapping/cell"

	"gonum.org/v1/gonum/spatial/r3"
)

// dealTables finds the tables and names them. A top with room under it is a table
// whether it is wanted or not; one that is closed below, under which nothing was
// seen, or of which too little was, is where cell.yaml means it: by its hint, by the
// machine that it says the table stands in, or where no open one stands.
func (s *survey) dealTables(f *Findings, wanted []cell.Wanted, stations []station) {
	want := ofKind(wanted, Table)
	tables := s.findTables(stations, placesOf(want), hintsOf(want))
	names := make([]string, len(tables))
	for w, m := range matchTables(want, tables, machineLost(wanted, stations)) {
		if m.candidate < 0 {
			f.Refused = append(f.Refused, s.tableRefusal(m, want[w], stations))
			continue
		}
		names[m.candidate] = want[w].Name
		if !tables[m.candidate].turned() {
			f.refuse(want[w], []string{"enough of its rim to tell how it is turned"})
		}
	}
	var found []Object
	for i := range tables {
		if t := &tables[i]; t.turned() && (t.room && t.inside == "" && t.placed() || names[i] != "") {
			o := s.table(t)
			o.Name = names[i]
			found = append(found, o)
		}
	}
	f.add(found, nil, origin, "", "")
}

// tableRefusal says why a wanted table got no top.
func (s *survey) tableRefusal(m matched, w cell.Wanted, stations []station) Refusal {
	if w.Inside != "" {
		if _, err := placeIn(w, stations); err != nil {
			return *err
		}
	}
	return m.refusal(w, s.noTable(), "the table from above, and under its top from further off")
}

// matchTables deals the tops to the wanted tables, those within a machine apart
// from all others: a table that stands in a machine is none of the room's, and a
// bench is no part of a machine. Those with a hint get the nearest of all, the
// others what is most like a table of those that are left. Where a machine was lost,
// a top with no room under it may be its bed, and is nobody's without a hint.
func matchTables(want []cell.Wanted, tables []table, lost bool) []matched {
	out := make([]matched, len(want))
	taken := make([]bool, len(tables))
	deal := func(of []int, test func(*table) bool) {
		var wants []cell.Wanted
		for _, w := range of {
			wants = append(wants, want[w])
		}
		var tops []int
		var middles []r3.Vec
		for i := range tables {
			if !taken[i] && test(&tables[i]) {
				tops, middles = append(tops, i), append(middles, tables[i].top.Centre)
			}
		}
		for k, m := range match(wants, len(middles), fromMiddle(middles)) {
			if m.candidate >= 0 {
				m.candidate = tops[m.candidate]
				taken[m.candidate] = true
			}
			out[of[k]] = m
		}
	}
	for _, inside := range placesOf(want) {
		here := func(t *table) bool { return t.inside == inside }
		var hinted, plain []int
		for w := range want {
			switch {
			case want[w].Inside != inside:
			case want[w].Near != nil:
				hinted = append(hinted, w)
			default:
				plain = append(plain, w)
			}
		}
		deal(hinted, here)
		likely := likeliest(tables, func(i int) bool { return !taken[i] && here(&tables[i]) })
		deal(plain, func(t *table) bool { return here(t) && likely(t) && (t.room || inside != "" || !lost) })
	}
	return out
}

// hintsOf lists where the wanted objects are said to be.
func hintsOf(want []cell.Wanted) []r3.Vec {
	var out []r3.Vec
	for _, w := range want {
		if w.Near != nil {
			out = append(out, *w.Near)
		}
	}
	return out
}

// machineLost tells whether a machine that cell.yaml names was found nowhere.
func machineLost(wanted []cell.Wanted, stations []station) bool {
	return slices.ContainsFunc(ofKind(wanted, Enclosure), func(w cell.Wanted) bool {
		return !slices.ContainsFunc(stations, func(st station) bool { return st.name == w.Name })
	})
}

// placesOf lists the machines in which something is wanted, each once, and "" for
// the room.
func placesOf(want []cell.Wanted) []string {
	var out []string
	for _, w := range want {
		if !slices.Contains(out, w.Inside) {
			out = append(out, w.Inside)
		}
	}
	return out
}

// noTable says what is missing where no table was recognised.
func (s *survey) noTable() string {
	if s.floor == nil {
		return "the floor was not seen, so no height above it is known"
	}
	return "no level top at working height with room under it was seen"
}

// leastBench is the least length of a top of the room that is believed to be a
// wanted table though nothing was seen under it and no hint is at its place, mm:
// boxes and crates measure up to 800 x 600 (ISO 3394 builds on 600 x 400; from
// memory), work benches from 1000 (common practice). One that sides close is as wide
// as leastWorktop at least: cabinets are 300 to 500 deep, worktops on them 600 to 800
// (common practice).
const (
	leastBench   = 900
	leastWorktop = 520
)

// benchLong tells a top that is longer than a crate's, or a machine's.
func (t *table) benchLong() bool { return t.inside != "" || t.extent.size(0) >= leastBench }

// worktop tells a top that may be a bench's with a cabinet under it.
func (t *table) worktop() bool {
	return t.benchLong() && (t.inside != "" || t.size(1).lo >= leastWorktop)
}

// likeliest tells the tops, of those that may be had, that are most like a table:
// with room under them; else with nothing seen that speaks against it; else closed.
func likeliest(tables []table, may func(i int) bool) func(*table) bool {
	for _, test := range [2]func(*table) bool{
		func(t *table) bool { return t.room },
		func(t *table) bool { return !t.sided && t.benchLong() },
	} {
		for i := range tables {
			if may(i) && test(&tables[i]) {
				return test
			}
		}
	}
	return (*table).worktop
}

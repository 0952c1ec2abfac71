package fit

import (
	"math"
	"slices"
	"testing"

	"cellwall/mapping/cell"

	"gonum.org/v1/gonum/spatial/r3"
)

// A crate has a level top at working height too. A table that is wanted without a
// hint, and that was not seen, is not taken to be the crate.
func TestCrateIsNoTable(t *testing.T) {
	slow(t)
	w := hall(24)
	at := standing(0, 1100, 0.1)
	w.box(at, -320, -250, 0, 640, 500, 690)
	c := w.look(toward(math.Pi / 2))
	for hint, located := range map[*r3.Vec]int{nil: 0, {Y: 1300}: 1} {
		s, f := surveyedBy(c), &Findings{}
		s.dealTables(f, []cell.Wanted{{Name: "bench", Kind: "table", Near: hint}}, nil)
		if len(f.Objects) != located || len(f.Refused) != 1-located {
			t.Errorf("with the hint %v: %d tables and %d refused, want %d located", hint, len(f.Objects), len(f.Refused), located)
		}
	}
}

// A machine's table is a bench to nobody, nor a bench a machine's table, wherever
// hints may lie.
func TestTablesAreMatchedWhereTheyStand(t *testing.T) {
	t.Parallel()
	at := func(x float64, inside string, room bool) table {
		top := table{inside: inside, room: room}
		top.top.Centre = r3.Vec{X: x}
		return top
	}
	tables := []table{at(0, "", true), at(900, "mill", false), at(2500, "", true)}
	bed := []table{at(1600, "", false)}
	bed[0].extent.hi[0] = leastBench
	near := func(x float64) *r3.Vec { return &r3.Vec{X: x} }
	for name, c := range map[string]struct {
		want []cell.Wanted
		got  []int
		lost []table // what else is there, where a machine was lost
	}{
		"by the machine":                      {[]cell.Wanted{{Inside: "mill"}}, []int{1}, nil},
		"each in its place":                   {[]cell.Wanted{{Near: near(800)}, {Inside: "mill"}, {}}, []int{0, 1, 2}, nil},
		"nothing in a lathe":                  {[]cell.Wanted{{Inside: "lathe", Near: near(900)}}, []int{-1}, nil},
		"not the machine's":                   {[]cell.Wanted{{Near: near(950)}, {Near: near(1000)}, {Near: near(910)}}, []int{-1, -1, 0}, nil},
		"no bed's of a machine that was lost": {[]cell.Wanted{{}}, []int{-1}, bed},
		"the bed's by a hint":                 {[]cell.Wanted{{Near: near(1000)}}, []int{0}, bed},
	} {
		var got []int
		from := tables
		if c.lost != nil {
			from = c.lost
		}
		for _, m := range matchTables(c.want, from, c.lost != nil) {
			got = append(got, m.candidate)
		}
		if !slices.Equal(got, c.got) {
			t.Errorf("%s: tops %v, want %v", name, got, c.got)
		}
	}
}

// Of tops under which nothing was seen, one with the upper part of a side in sight is
// less like a table than one with none, and a closed one is a worktop where it is deep
// enough for that, or else nobody's.
func TestCabinetIsNoBench(t *testing.T) {
	t.Parallel()
	top := func(long, deep float64, sided, closed bool) table {
		out := table{sided: sided, closed: closed}
		out.extent.hi = [2]float64{long, deep}
		for e := range out.ends {
			out.ends[e] = tableEnd{seen: true, from: out.extent.size(e/2) / 2, to: out.extent.size(e/2) / 2}
		}
		return out
	}
	for name, c := range map[string]struct {
		tables []table
		want   []bool
	}{
		"a bare top before a sided one": {[]table{top(1000, 460, false, false), top(1200, 600, true, false)}, []bool{true, false}},
		"a worktop, no cabinet":         {[]table{top(1000, 460, true, true), top(1200, 600, true, true), top(950, 318, true, false)}, []bool{false, true, false}},
		"a cabinet alone":               {[]table{top(950, 318, true, false)}, []bool{false}},
		"a crate alone":                 {[]table{top(800, 600, false, false)}, []bool{false}},
	} {
		likely := likeliest(c.tables, func(int) bool { return true })
		for i := range c.tables {
			if got := likely(&c.tables[i]); got != c.want[i] {
				t.Errorf("%s: top %d is likely a table: %v", name, i, got)
			}
		}
	}
}

package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Between two sectors that the sweeps looked into lies one of half a metre that none
// did. A bench that runs through it is one; benches of which one stands out from the
// line, or that two hints call two, are not.
func TestTopAcrossABlindSector(t *testing.T) {
	slow(t)
	blind := func() (sweeps []sweep, profiles, points int) {
		for _, s := range swings {
			for _, of := range [2][2]float64{{0.3, math.Pi/2 - 0.19}, {math.Pi/2 + 0.19, math.Pi - 0.3}} {
				s.from, s.to, s.look = of[0], of[1], 0
				sweeps = append(sweeps, s)
			}
		}
		return sweeps, 200, 320
	}
	for name, c := range map[string]struct {
		place func(w *room)
		hints []r3.Vec
		want  int
	}{
		"one": {func(w *room) { bench(w, standing(0, 1300, 0), 1700, 600, 800) }, nil, 1},
		"out of line": {func(w *room) {
			bench(w, standing(-600, 1300, 0), 800, 600, 800)
			bench(w, standing(600, 1400, 0), 800, 600, 800)
		}, nil, 2},
		"two by hints": {func(w *room) { bench(w, standing(0, 1300, 0), 1700, 600, 800) }, []r3.Vec{{X: -600, Y: 1300}, {X: 600, Y: 1300}}, 2},
	} {
		w := hall(27)
		c.place(w)
		s := surveyedBy(w.look(blind()))
		tables := s.findTables(nil, nil, c.hints)
		if len(tables) != c.want {
			t.Errorf("%s: %d tables, want %d", name, len(tables), c.want)
			continue
		}
		if c.want == 1 {
			sameWithin(t, "length", s.table(&tables[0]).Measures["length_mm"], 1700, 12)
		}
	}
}

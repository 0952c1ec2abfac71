package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"sort"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/mapping/geom"
	"cellwall/scene/moves"

	"gonum.org/v1/gonum/spatial/r3"
)

// level of the moves' tests.
const level = 0.99

// movedTally gathers how moves are told over all cells.
type movedTally struct {
	cells, untold, open int
	shift, turn         []float64 // error of the mill's move at its datum, mm and rad
	inside, stated      int       // of its 95 % intervals
	still, calledMoved  int       // objects that did not move, and those that were said to
	scanned, others     slipTally // of vises whose fixed jaw's face and a top both scans saw, and of the others
}

// movedTrials tries n cells from a seed on.
func movedTrials(m maps, n int, seed uint64, density float64, still, verbose bool) {
	var sum movedTally
	for i := range n {
		if err := movedTrial(os.Stdout, m, seed+uint64(i), density, still, verbose, &sum); err != nil {
			fmt.Fprintf(os.Stderr, "trials: seed %d: %v\n", seed+uint64(i), err)
		}
	}
	sum.show(os.Stdout)
}

// movedTrial maps a random cell, then the same cell later, and compares.
func movedTrial(w io.Writer, m maps, seed uint64, density float64, still, verbose bool, sum *movedTally) error {
	s := m.one(seed, density)
	later := fixtures.Later(s, seed, still)
	oldShop, old, err := m.of(s, fmt.Sprintf("%d-old", seed))
	if err != nil {
		return err
	}
	newShop, now, err := m.of(later, fmt.Sprintf("%d-moved-%v", seed, !still))
	if err != nil {
		return err
	}
	sum.cells++
	c := moves.Compare(old.Scene, now.Scene, level)
	truth := motionOf(oldShop, newShop)
	for i := range c.Moves {
		sum.judge(w, &c.Moves[i], truth, oldShop, verbose)
	}
	slips := &sum.others
	if viseScanned(oldShop) && viseScanned(newShop) {
		slips = &sum.scanned
	}
	slips.add(w, c, [2]viseMap{{oldShop, old.Scene}, {newShop, now.Scene}})
	if _, ok := c.Move("mill"); !ok {
		sum.untold++
		fmt.Fprintf(w, "seed %d: the mill's move was not told: %v\n", seed, c.Untold)
	}
	return nil
}

func motionOf(old, now *fixtures.Shop) geom.Pose {
	a, _ := old.Truth.Object("mill")
	b, _ := now.Truth.Object("mill")
	return b.Body.Mul(a.Body.Inverse())
}

func (t *movedTally) judge(w io.Writer, m *moves.Move, truth geom.Pose, old *fixtures.Shop, verbose bool) {
	switch {
	case m.Name == "mill":
		t.mill(w, old.Settings.Seed, m, truth, verbose)
	case m.Inside == "" && m.Kind != fit.Enclosure && m.Kind != fit.Vise && !ofMill(m.Datum.T, old):
		t.still++
		if m.Moved {
			t.calledMoved++
			at, turn := m.AtMost()
			fmt.Fprintf(w, "  seed %d: %s (%s) stood still, said to have moved: p %.2g, at most %.2f mm %.3f deg, %d faces, misfit %v\n",
				old.Settings.Seed, m.Name, m.Kind, m.Test.P(), at, turn/degree, len(m.Shared), m.Misfit)
		}
	}
}

// ofMill tells whether the point is in the machine or on its skin, within reach of
// a control panel.
func ofMill(p r3.Vec, shop *fixtures.Shop) bool {
	const proud = 200
	mill, _ := shop.Truth.Object("mill")
	m := shop.Settings.Mill
	q := mill.Body.Inverse().Apply(p)
	return q.X > -proud && q.X < m.Depth+proud && math.Abs(q.Y) < m.Width/2+proud
}

func (t *movedTally) mill(w io.Writer, seed uint64, m *moves.Move, truth geom.Pose, verbose bool) {
	if len(m.Loose) > 0 {
		t.open++
		fmt.Fprintf(w, "  seed %d: the mill's move is open: %v\n", seed, m.Loose)
		return
	}
	d := m.Pose.Mul(m.Datum).Minus(truth.Mul(m.Datum))
	cov := m.At(m.Pose.Apply(m.Datum.T))
	off, turn := r3.Vec{X: d[0], Y: d[1], Z: d[2]}, r3.Vec{X: d[3], Y: d[4], Z: d[5]}
	t.shift = append(t.shift, r3.Norm(off))
	t.turn = append(t.turn, r3.Norm(turn))
	for i := range d {
		t.stated++
		if math.Abs(d[i]) < 1.96*math.Sqrt(cov[i][i]) {
			t.inside++
		}
	}
	if verbose || r3.Norm(off) > 1 {
		s := cov.SigmaT()
		fmt.Fprintf(w, "seed %d: mill off %.3f mm (%.3f %.3f %.3f, sigma %.3f %.3f %.3f) %.4f deg; moved %.1f mm; %d faces, unlike %d, misfit %.1f of %d, inflated %.2f; loose %v\n",
			seed, r3.Norm(off), off.X, off.Y, off.Z, s.X, s.Y, s.Z, r3.Norm(turn)/degree, r3.Norm(m.Shift(m.Datum.T)),
			len(m.Shared), len(m.Unlike), m.Misfit.ChiSquare, m.Misfit.Freedom, m.Inflation, m.Loose)
		for _, s := range append(m.Shared, m.Unlike...) {
			fmt.Fprintf(w, "     %s / %s: %.2f mm (sigma %.2f), %.3f deg\n", s.Old, s.New, s.Offset, s.Sigma, s.Turn/degree)
		}
	}
}

func (t *movedTally) show(w io.Writer) {
	rms := func(v []float64) float64 {
		sum := 0.0
		for _, x := range v {
			sum += x * x
		}
		return math.Sqrt(sum / float64(max(1, len(v))))
	}
	sort.Float64s(t.shift)
	sort.Float64s(t.turn)
	fmt.Fprintf(w, "\n%d cells; the mill's move not told in %d, open in part in %d\n", t.cells, t.untold, t.open)
	fmt.Fprintf(w, "error at the datum: rms %.3f mm, median %.3f, worst %.3f; rms %.4f deg, worst %.4f\n",
		rms(t.shift), at(t.shift, .5), at(t.shift, 1), rms(t.turn)/degree, at(t.turn, 1)/degree)
	fmt.Fprintf(w, "95 %% intervals of it that hold the truth: %d of %d (%.1f %%)\n", t.inside, t.stated, 100*float64(t.inside)/float64(max(1, t.stated)))
	t.scanned.show(w, "vises whose fixed jaw's face and a top both scans saw")
	t.others.show(w, "the other vises")
	fmt.Fprintf(w, "still objects said to have moved: %d of %d\n", t.calledMoved, t.still)
}

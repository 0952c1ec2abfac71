package main

import (
	"fmt"
	"io"
	"math"
	"sort"

	"cellwall/cmd/trials/judge"
	"cellwall/fit"
	"cellwall/fixtures"
)

const degree = math.Pi / 180

// show prints one cell.
func show(w io.Writer, c fixtures.Settings, v judge.Verdict, refused []fit.Refusal, verbose bool) {
	fmt.Fprintf(w, "seed %d (%s; vise %s)\n", c.Seed, c.Build, c.Stand)
	if v.Space.Reached > 0 {
		showSpace(w, v)
	}
	showVises(w, v, refused)
	showMachines(w, v)
	for _, d := range v.Doors {
		fmt.Fprintf(w, "  %s: opening's edges off %.1f mm, over sigma %.1f\n", d.Name, d.Edges, d.PerSigma)
	}
	for _, p := range v.Poses {
		if p.Kind == fit.Table && (verbose || p.Wrong()) {
			fmt.Fprintf(w, "  %s: datum off %.1f mm, turned %.2f deg, over sigma %.1f\n", p.Name, p.Off[:3], p.Off[5]/degree, p.PerSigma)
		}
		if p.Kind == fit.Table && p.Wrong() {
			fmt.Fprintf(w, "  %s: WRONG\n", p.Name)
		}
	}
	for _, p := range v.Planes {
		if verbose || math.Abs(p.Offset) > 0.8 || p.Tilt > 0.08*degree {
			fmt.Fprintf(w, "  %s %s (%s): off %.2f mm (%.1f sigma), %.3f deg, %d points\n",
				p.Object, p.Face, p.Truth, p.Offset, p.OffsetPer, p.Tilt/degree, p.Points)
		}
	}
	for _, r := range refused {
		fmt.Fprintf(w, "  refused %s: %s; %s\n", r.Name, r.Reason, r.ScanNext)
	}
}

// showSpace prints how well the padded scene fills what is there, and whether
// what is called clear is so.
func showSpace(w io.Writer, v judge.Verdict) {
	fmt.Fprintf(w, "  covered %.2f %%, outside %v, silent %v; blocked %.2f %% %v\n",
		100*v.Space.CoveredShare(), v.Space.Outside, v.Space.Silent, 100*v.Space.BlockedShare(), v.Space.BlockedBy)
	t := v.States
	fmt.Fprintf(w, "  clear: %d voxels, %d touch an obstacle, at most %.1f mm in, %d places deeper than a diagonal; of %d bodies called clear %d are not; of %d free places %.1f %% told; %.2f m3 unseen in reach\n",
		t.Clear, t.Touch, t.Worst, t.Deep, t.Bodies, t.False, t.Free, 100*float64(t.Told)/float64(max(t.Free, 1)), t.Unseen)
}

// tally gathers over all cells.
type tally struct {
	cells, failed      int
	builds             map[string]*built
	missing            map[string]int
	vises              viseTally
	labels             map[string][2]int // found, and in all, by kind
	tablesWrong        int
	edges              intervals
	faces, datums      intervals // offsets of planes; datums of machines and tables
	doors              []float64
	bounded            int // doors of which an edge was not seen
	offsets, tilts     []float64
	covered, blocked   []float64
	told, taken        []float64
	clear, touch, deep int // clear voxels, those that touch an obstacle, places deeper in one than a diagonal
	bodies, wrong      int // called clear, and of them not clear
}

func (t *tally) add(c fixtures.Settings, v judge.Verdict, refused []fit.Refusal) {
	t.cells++
	if t.missing == nil {
		t.missing, t.labels, t.builds = map[string]int{}, map[string][2]int{}, map[string]*built{}
	}
	t.vises.add(v, refused)
	t.addLabels(v.Labels)
	t.addBuild(c.Build, v, refused)
	for _, name := range v.Missing {
		t.missing[name]++
	}
	for _, d := range v.Doors {
		if !d.Measured {
			t.bounded++
			continue
		}
		t.doors = append(t.doors, d.Worst())
		for _, z := range d.PerSigma {
			t.edges.add(z)
		}
	}
	for _, p := range v.Poses {
		if p.Kind == fit.Table && p.Wrong() {
			t.tablesWrong++
		}
		for _, z := range p.PerSigma {
			t.datums.add(z)
		}
	}
	for _, p := range v.Planes {
		t.faces.add(p.OffsetPer)
		t.offsets = append(t.offsets, math.Abs(p.Offset))
		t.tilts = append(t.tilts, p.Tilt/degree)
	}
	t.covered = append(t.covered, 100*v.Space.CoveredShare())
	t.blocked = append(t.blocked, 100*v.Space.BlockedShare())
	s := v.States
	t.told = append(t.told, 100*float64(s.Told)/float64(max(s.Free, 1)))
	t.taken = append(t.taken, 100*float64(s.Taken)/float64(max(s.Seen, 1)))
	t.clear, t.touch, t.deep = t.clear+s.Clear, t.touch+s.Touch, t.deep+s.Deep
	t.bodies, t.wrong = t.bodies+s.Bodies, t.wrong+s.False
}

func (t *tally) show(w io.Writer) {
	fmt.Fprintf(w, "\n%d cells, %d failed, not located: %v\n", t.cells, t.failed, t.missing)
	fmt.Fprintf(w, "%-28s %8s %8s %8s %8s\n", "", "median", "90 %", "worst", "count")
	for _, row := range []struct {
		name   string
		values []float64
	}{
		{"jaw datum, mm", t.vises.shift}, {"jaw datum, deg", t.vises.turn}, {"jaw opening, mm", t.vises.opening},
		{"door edge, mm", t.doors}, {"plane offset, mm", t.offsets}, {"plane tilt, deg", t.tilts},
		{"reached surface covered, %", t.covered}, {"free space blocked, %", t.blocked},
		{"free places called clear, %", t.told}, {"clear places blocked, %", t.taken},
	} {
		sort.Float64s(row.values)
		fmt.Fprintf(w, "%-28s %8.3f %8.3f %8.3f %8d\n", row.name, at(row.values, 0.5), at(row.values, 0.9), at(row.values, 1), len(row.values))
	}
	t.vises.show(w)
	t.showLabels(w)
	t.showBuilds(w)
	fmt.Fprintf(w, "doors of which an edge was not seen: %d\n", t.bounded)
	fmt.Fprintf(w, "95 %% intervals that hold the truth: vises %v, door edges %v, planes %v, datums of machines and tables %v\n", t.vises.intervals, t.edges, t.faces, t.datums)
	fmt.Fprintf(w, "of %d clear voxels %d touch an obstacle, %d places lie deeper in one than a diagonal; of %d bodies called clear %d are not\n",
		t.clear, t.touch, t.deep, t.bodies, t.wrong)
}

// intervals counts the stated 95 % intervals and those that hold the truth.
type intervals struct{ inside, stated int }

// add takes an error over its stated sigma.
func (c *intervals) add(z float64) {
	c.stated++
	if math.Abs(z) < 1.96 {
		c.inside++
	}
}

func (c intervals) String() string {
	return fmt.Sprintf("%d of %d (%.1f %%)", c.inside, c.stated, 100*float64(c.inside)/float64(max(c.stated, 1)))
}

// at is the quantile of sorted values.
func at(sorted []float64, q float64) float64 {
	if len(sorted) == 0 {
		return math.NaN()
	}
	return sorted[int(math.Round(q*float64(len(sorted)-1)))]
}

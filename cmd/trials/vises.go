package main

import (
	"fmt"
	"io"
	"math"
	"slices"

	"cellwall/cmd/trials/judge"
	"cellwall/fit"

	"gonum.org/v1/gonum/spatial/r3"
)

// viseTally counts what was told of vises: of those that were scanned, that is
// the fixed jaw's face and a top, and of the others.
type viseTally struct {
	scanned, located     int // told which is meant, too
	mirrored, unmirrored int // scanned, but nothing tells that; of them, those located
	others, othersFound  int
	wrong                int
	refused, named       int // of the others; of them, those that name a face that is missing
	invented             int // vises and enclosures where none is
	shift, turn, opening []float64
	intervals            intervals
}

func (t *viseTally) add(v judge.Verdict, refused []fit.Refusal) {
	t.invented += len(v.Invented)
	for i := range v.Vises {
		x := &v.Vises[i]
		all, found := &t.others, &t.othersFound
		switch {
		case x.Scanned() && x.Told:
			all, found = &t.scanned, &t.located
		case x.Scanned():
			all, found = &t.mirrored, &t.unmirrored
		}
		*all++
		switch r := refusalOf(x.Name, refused); {
		case x.Jaw != nil:
			*found++
			t.take(x.Jaw)
		case r != nil && !x.Scanned():
			t.refused++
			if x.Names(*r) {
				t.named++
			}
		}
		if x.Wrong() {
			t.wrong++
		}
	}
}

func (t *viseTally) take(j *judge.Jaw) {
	t.shift = append(t.shift, r3.Norm(j.Shift))
	t.turn = append(t.turn, j.Turn/degree)
	t.opening = append(t.opening, math.Abs(j.Opening))
	for _, z := range append(j.PerSigma[:], j.OpeningPer) {
		t.intervals.add(z)
	}
}

func refusalOf(name string, refused []fit.Refusal) *fit.Refusal {
	if i := slices.IndexFunc(refused, func(r fit.Refusal) bool { return r.Name == name }); i >= 0 {
		return &refused[i]
	}
	return nil
}

func (t *viseTally) show(w io.Writer) {
	fmt.Fprintf(w, "vises whose fixed jaw's face and a top were scanned: %d of %d located; of the others %d of %d, and %d of %d refusals name a face that is missing\n",
		t.located, t.scanned, t.othersFound, t.others, t.named, t.refused)
	fmt.Fprintf(w, "scanned, but nothing tells which jaw is fixed, or which machine is meant: %d, of which %d located\n", t.mirrored, t.unmirrored)
	fmt.Fprintf(w, "vises located wrongly: %d; vises and enclosures where none is: %d\n", t.wrong, t.invented)
}

// showVises prints one cell's vises, and what is called one and is none.
func showVises(w io.Writer, v judge.Verdict, refused []fit.Refusal) {
	for i := range v.Vises {
		x := &v.Vises[i]
		switch j := x.Jaw; {
		case j != nil:
			fmt.Fprintf(w, "  %s: off %.2f %.2f %.2f mm, %.3f deg, opening %.2f mm; over sigma %.1f, opening %.1f\n",
				x.Name, j.Shift.X, j.Shift.Y, j.Shift.Z, j.Turn/degree, j.Opening, j.PerSigma, j.OpeningPer)
			if x.Wrong() {
				fmt.Fprintf(w, "  %s: WRONG\n", x.Name)
			}
		case x.Scanned():
			fmt.Fprintf(w, "  %s: scanned but not located; told which is meant: %v; returns %v\n", x.Name, x.Told, x.Points)
		default:
			r := refusalOf(x.Name, refused)
			fmt.Fprintf(w, "  %s: not located, and not scanned; returns %v; names a missing face: %v\n", x.Name, x.Points, r != nil && x.Names(*r))
		}
	}
	for _, name := range v.Invented {
		fmt.Fprintf(w, "  %s: INVENTED\n", name)
	}
	for _, l := range v.Labels {
		if !l.Found {
			fmt.Fprintf(w, "  label missed: %s %s\n", l.Kind, l.Name)
		}
	}
}

func (t *tally) addLabels(labels []judge.Label) {
	for _, l := range labels {
		n := t.labels[l.Kind]
		n[1]++
		if l.Found {
			n[0]++
		}
		t.labels[l.Kind] = n
	}
}

func (t *tally) showLabels(w io.Writer) {
	fmt.Fprint(w, "labels found:")
	for _, kind := range []string{"floor", "wall", "table", "enclosure", "opening"} {
		n := t.labels[kind]
		fmt.Fprintf(w, "  %s %d of %d", kind, n[0], n[1])
	}
	fmt.Fprintf(w, "  (tables: half of whose top gave returns); tables located wrongly: %d\n", t.tablesWrong)
}

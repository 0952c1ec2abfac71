package main

import (
	"fmt"
	"io"

	"cellwall/cmd/trials/judge"
	"cellwall/fit"
	"cellwall/fixtures"
)

// built counts what was told of the machines of one build.
type built struct {
	cells, machines        int
	found, measured        int // machines; of them, those whose opening was measured all round
	refused, missed, wrong int
	invented               int // enclosures and vises where none stands
}

func (t *tally) addBuild(build string, v judge.Verdict, refused []fit.Refusal) {
	b := t.builds[build]
	if b == nil {
		b = &built{}
		t.builds[build] = b
	}
	b.cells++
	b.invented += len(v.Invented)
	for _, m := range v.Machines {
		b.machines++
		switch {
		case m.Wrong():
			b.wrong++
		case m.As != "":
			b.found++
			if m.Door != nil && m.Door.Measured {
				b.measured++
			}
		case m.Refused(refused):
			b.refused++
		default:
			b.missed++
		}
	}
}

// showMachines prints one cell's machines that are not as they should be.
func showMachines(w io.Writer, v judge.Verdict) {
	for _, m := range v.Machines {
		switch {
		case m.As == "":
			fmt.Fprintf(w, "  %s: no enclosure there\n", m.Name)
		case m.Wrong():
			fmt.Fprintf(w, "  %s, called %s: WRONG, its %s off %.3g, %.1f sigma\n", m.Name, m.As, m.Worst.What, m.Worst.Off, m.Worst.Per)
		case m.As != m.Name:
			fmt.Fprintf(w, "  %s: called %s\n", m.Name, m.As)
		}
	}
}

func (t *tally) showBuilds(w io.Writer) {
	fmt.Fprintf(w, "%-14s %6s %9s %6s %9s %8s %7s %6s %9s\n",
		"build", "cells", "machines", "found", "measured", "refused", "missed", "wrong", "invented")
	for _, name := range fixtures.Builds {
		if b := t.builds[name]; b != nil {
			fmt.Fprintf(w, "%-14s %6d %9d %6d %9d %8d %7d %6d %9d\n",
				name, b.cells, b.machines, b.found, b.measured, b.refused, b.missed, b.wrong, b.invented)
		}
	}
}

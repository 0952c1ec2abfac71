package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"cellwall/scene/reach"
)

// printReach prints the report as a table, or as it is for machines.
func printReach(w io.Writer, c *common, r *reach.Report, out string) error {
	if c.json {
		return r.WriteJSON(w)
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	if r.Whole != nil {
		printWhole(t, r.Whole)
	} else {
		printMoves(t, r.Moves)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if r.Gaps != "" {
		printGaps(w, r)
	}
	for _, note := range r.Notes() {
		fmt.Fprintln(w, note)
	}
	fmt.Fprintf(w, "\ndistances in mm to the solids as fitted; the margin is %.0f mm; all of it in %s\n\n%s\n", r.Margin, out, cautions())
	return nil
}

func printMoves(w io.Writer, moves []reach.MoveEntry) {
	fmt.Fprintln(w, "row\tmotion\tverdict\tleast\tnowhere under\tlink\tto\tat\titself")
	for _, m := range moves {
		itself := "-"
		if m.Self != nil {
			itself = fmt.Sprintf("%.1f", m.Self.Bound)
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", m.Name, m.Motion, m.Verdict, nearnessRow(m.Scene), itself)
	}
	for _, m := range moves {
		if m.Unseen != nil {
			fmt.Fprintf(w, "%s: %s\n", m.Name, m.Unseen)
		}
	}
}

func nearnessRow(n *reach.Nearness) string {
	if n == nil {
		return "-\t-\t-\t-\t-"
	}
	return fmt.Sprintf("%.1f\t%.1f\t%s\t%s\t%.0f %%", n.Least, n.Bound, n.Link, n.Object, 100*n.At)
}

func printWhole(w io.Writer, whole *reach.WholeEntry) {
	fmt.Fprintln(w, "object\twithin reach\tleast found\tnowhere under\tby")
	for _, o := range whole.Objects {
		within, least, bound, by := "yes", "-", "-", o.By()
		if !o.Within {
			within, least, by = "not certain", fmt.Sprintf("%.1f", o.Least), o.Link
			if o.Bound != nil && *o.Bound > 0 {
				within, bound = "no", fmt.Sprintf("%.1f", *o.Bound)
			}
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", o.Object, within, least, bound, by)
	}
	if whole.Unseen != nil {
		fmt.Fprintf(w, "unseen within the robot's own limits: %.2f m3\n", *whole.Unseen)
	}
	k := whole.KeepOff
	if k == nil {
		return
	}
	for _, l := range k.Limits {
		fmt.Fprintf(w, "joint %d within %.1f to %.1f deg keeps the arm at least %.1f mm from %s\n", l.Joint, l.Range[0], l.Range[1], l.Bound, k.Object)
	}
	if len(k.Limits) == 0 {
		fmt.Fprintf(w, "no limit of a single one of the first joints keeps the arm off %s\n", k.Object)
	}
}

func printGaps(w io.Writer, r *reach.Report) {
	fmt.Fprintf(w, "\ngaps that can crush, by %s:\n", r.Gaps)
	for _, m := range r.Moves {
		for _, g := range m.Gaps {
			fmt.Fprintf(w, "%s: %s to %s, %.1f mm: %s\n", m.Name, g.Link, g.Object, g.Bound, strings.Join(g.Crushes, ", "))
		}
	}
}

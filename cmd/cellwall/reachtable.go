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
	for _, pair := range r.Unchecked {
		fmt.Fprintf(w, "not held against each other, for they overlap at every posture: %s\n", pair)
	}
	for _, pair := range r.Allowed {
		fmt.Fprintf(w, "allowed to overlap, as they did where the arm scanned from: %s\n", pair)
	}
	for _, pair := range r.StoodIn {
		fmt.Fprintf(w, "overlap where the arm scanned from, so the link's capsule or the object's solid is fatter than the thing: %s\n", pair)
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
			fmt.Fprintln(w, unseenLine(&m))
		}
	}
}

// unseenLine says where a move enters unseen space, and how much of it.
func unseenLine(m *reach.MoveEntry) string {
	u := m.Unseen
	text := fmt.Sprintf("%s: %s may enter unseen space at %.0f %% of the move", m.Name, the(u.Link), 100*u.At)
	if u.Volume != nil {
		lo, hi := u.Within[0], u.Within[1]
		text += fmt.Sprintf(", about %.3f m3 of it in all, within X %.0f to %.0f, Y %.0f to %.0f, Z %.0f to %.0f mm", *u.Volume, lo[0], hi[0], lo[1], hi[1], lo[2], hi[2])
	}
	return text
}

// the puts the article before what is no name.
func the(link string) string {
	if strings.HasPrefix(link, "link ") || strings.HasPrefix(link, "part ") {
		return link
	}
	return "the " + link
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
		within, least, bound, by := "yes", "-", "-", strings.Join(o.Links, ", ")
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

package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"cellwall/export/movesheet"
	"cellwall/export/value"
	"cellwall/export/whole"
	"cellwall/scene"
	"cellwall/scene/moves"

	"github.com/spf13/cobra"
)

func movedCommand(c *common) *cobra.Command {
	var since, object, both, sheet, made string
	var level float64
	var carry carried
	cmd := &cobra.Command{
		Use:   "moved CELL --since OLDMAP",
		Short: "How objects moved since an earlier map",
		Long: "CELL is the cell folder that holds the rescan: its map is used as it is, or made first where there\n" +
			"is none. OLDMAP is the map folder of the earlier map, or its scene.json. Says of each object of the\n" +
			"old map whether it moved and by how much, what no shared surface determines, whether it is still\n" +
			"the same shape, and whether a vise slipped in its machine. Moved means beyond the uncertainty of\n" +
			"both maps at the level given. --points takes a CSV table of taught points (name, object, x, y, z\n" +
			"and qw, qx, qy, qz or roll, pitch, yaw in degrees) and writes them corrected to --to; --program takes\n" +
			"a program as reach does, with a column object, and writes it to --to-program, joints solved anew next\n" +
			"to the old ones, or not at all where a row cannot be corrected. A point or row is flagged where it is\n" +
			"corrected by more than --check or known to worse than --known, and stays uncorrected where the move of\n" +
			"its object leaves a direction open. Exit status 1 where nothing can be told,\n" +
			"or nothing of --object, or a point or row could not be corrected.\n\n" + cautions(),
		Args: one("CELL, the cell folder with the rescan"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := checkLevel(level); err != nil {
				return err
			}
			old, err := openMap(since, "--since", "the map folder of the earlier map")
			if err != nil {
				return err
			}
			if err := carry.open(args[0]); err != nil {
				return err
			}
			if err := twoMaps(since, filepath.Join(args[0], "map"), "--since", "keep a copy of the map folder before the cell is scanned and mapped anew, and name that"); err != nil {
				return err
			}
			now, err := mapOf(cmd.Context(), args[0], reporter(cmd, c))
			if err != nil {
				return err
			}
			if object != "" && !slices.ContainsFunc(old.Objects, func(o scene.Object) bool { return o.Name == object }) {
				return fmt.Errorf("--object: the old map has no object %q; it has %s", object, list(names(old)))
			}
			ofOneCell(cmd, old, now)
			told := moves.Compare(old, now, level)
			if old.Cell != now.Cell && told.Room == nil {
				return fmt.Errorf("--since: %s is of another cell by its name, and none of its floor and walls is in the new map; name an earlier map of %q", since, now.Cell)
			}
			if err := carry.write(cmd, c, told); err != nil {
				return err
			}
			merged, err := told.Scene(old, now)
			if err != nil {
				return err
			}
			if err := writeBoth(cmd.Context(), both, merged); err != nil {
				return err
			}
			if err := writeSheet(cmd.Context(), sheet, movesheet.Sheet{
				Cell: now.Cell, Old: since, New: filepath.Join(args[0], "map"), By: made, When: time.Now(), Scans: now.Scans, Moves: told, Points: carry.done,
				OldScene: old, NewScene: merged,
			}); err != nil {
				return err
			}
			if err := printComparison(cmd.OutOrStdout(), c, told, object); err != nil {
				return err
			}
			if _, ok := told.Move(object); object != "" && !ok || carry.failed > 0 || len(told.Moves) == 0 {
				return errNo
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&since, "since", "", "the earlier map: its folder or its scene.json")
	cmd.Flags().StringVar(&object, "object", "", "tell of this object of the old map only")
	cmd.Flags().Float64Var(&level, "level", 0.99, "of the tests: the share of still objects that are not called moved")
	cmd.Flags().StringVar(&both, "scene", "", "write one scene.json of both maps here: what is still from the old one, what moved taken along")
	cmd.Flags().StringVar(&sheet, "sheet", "", "write the sheet for the record here, as HTML")
	cmd.Flags().StringVar(&made, "by", "", "who makes the record, for the sheet")
	carry.flags(cmd)
	return cmd
}

// writeSheet writes the sheet for the record, where it is wanted.
func writeSheet(ctx context.Context, path string, s movesheet.Sheet) error {
	if path == "" {
		return nil
	}
	return whole.File(ctx, path, s.Write)
}

// writeBoth writes the scene of both maps, where it is wanted.
func writeBoth(ctx context.Context, path string, both *scene.Scene) error {
	if path == "" {
		return nil
	}
	return whole.File(ctx, path, both.WriteJSON)
}

func checkLevel(level float64) error {
	if !(level > 0.5 && level < 1) {
		return fmt.Errorf("--level is %g; it is a share between 0.5 and 1, such as 0.99", level)
	}
	return nil
}

func names(s *scene.Scene) []string {
	var out []string
	for _, o := range s.Objects {
		if o.Kind != scene.Remainder {
			out = append(out, o.Name)
		}
	}
	return out
}

// printComparison prints a comparison, or what it says of one object.
func printComparison(w io.Writer, c *common, told *moves.Comparison, only string) error {
	if only != "" {
		told = told.Of(only)
	}
	if c.json {
		return told.WriteJSON(w)
	}
	fmt.Fprintf(w, "± is k = %d; moved is told at the level %g\n", moves.Coverage, told.Level)
	if word := movesheet.Foot(told); word != "" {
		fmt.Fprintf(w, "room: %s\n", word)
		if told.Room != nil {
			printMotion(w, told.Room)
		}
	}
	for i := range told.Moves {
		if m := &told.Moves[i]; m.Moved && !movesheet.Along(m) {
			printMove(w, m)
		}
	}
	for _, s := range told.Slips {
		fmt.Fprintf(w, "\n%s: %s\n", s.Name, movesheet.Slip(s))
	}
	for _, k := range told.Contacts {
		fmt.Fprintf(w, "\n%s: %s\n", k.Name, movesheet.Contact(k))
	}
	if err := printOthers(w, told); err != nil {
		return err
	}
	fmt.Fprintf(w, "\n%s\n", cautions())
	return nil
}

// printMove prints the move of an object that has moved.
func printMove(w io.Writer, m *moves.Move) {
	fmt.Fprintf(w, "\n%s (%s): moved%s\n", m.Name, m.Kind, after(", ", movesheet.Partly(m)))
	printMotion(w, m)
	for _, d := range movesheet.Open(m) {
		fmt.Fprintf(w, "  not told   %s\n", d)
	}
	for _, d := range movesheet.Weak(m) {
		fmt.Fprintf(w, "  weak       %s\n", d)
	}
	for _, u := range movesheet.Changed(m) {
		fmt.Fprintf(w, "  changed    %s\n", u)
	}
	if m.By == moves.ByFaces {
		fmt.Fprintf(w, "  rests on   %d shared surfaces, residual chi-square %.1f of %d\n", len(m.Shared), m.Misfit.ChiSquare, m.Misfit.Freedom)
		for _, s := range m.Shared {
			fmt.Fprintf(w, "             %s: %s mm, %.3f°\n", s.Old, value.MM(s.Offset, s.Sigma), degree(s.Turn))
		}
	}
}

// restOf is what else there is to say of an object that has no move of its own.
func restOf(m *moves.Move) string {
	return strings.Join(slices.Concat(movesheet.Open(m), movesheet.Weak(m), movesheet.Changed(m)), "; ")
}

// after is the word after a separator, or nothing.
func after(separator, word string) string {
	if word == "" {
		return ""
	}
	return separator + word
}

// printOthers lists what has no move of its own to tell: what went along with a
// machine, what is not told apart from still, and what the new map does not show.
func printOthers(w io.Writer, told *moves.Comparison) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	head := func(of string) { fmt.Fprintf(t, "\n%s\n", of) }
	first := true
	for i := range told.Moves {
		m := &told.Moves[i]
		if m.Moved || movesheet.Along(m) {
			continue
		}
		if first {
			head("not told apart from still\tkind\tat most\topen")
			first = false
		}
		shift, turn := m.AtMost()
		fmt.Fprintf(t, "%s\t%s\t%.2f mm, %.3f°%s\t%s\n", m.Name, m.Kind, shift, degree(turn), after(", ", movesheet.Partly(m)), restOf(m))
	}
	first = true
	for i := range told.Moves {
		m := &told.Moves[i]
		if !movesheet.Along(m) {
			continue
		}
		if first {
			head("went along\tkind\twith\topen")
			first = false
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\n", m.Name, m.Kind, m.With, restOf(m))
	}
	for i, u := range told.Untold {
		if i == 0 {
			head("not told\tkind\twhy\tscan next")
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\n", u.Name, u.Kind, u.Reason, u.ScanNext)
	}
	return t.Flush()
}

// printMotion prints a move at the datum and about the base.
func printMotion(w io.Writer, m *moves.Move) {
	at := m.At(m.Pose.Apply(m.Datum.T))
	s, sigma := m.Shift(m.Datum.T), at.SigmaT()
	v, turned := m.Pose.R.Log(), at.SigmaR()
	fmt.Fprintf(w, "  datum      by (%s, %s, %s) mm\n", value.MM(s.X, sigma.X), value.MM(s.Y, sigma.Y), value.MM(s.Z, sigma.Z))
	fmt.Fprintf(w, "  turn       (%s, %s, %s) about base X, Y, Z\n", value.Deg(v.X, turned.X), value.Deg(v.Y, turned.Y), value.Deg(v.Z, turned.Z))
	if len(m.Loose) > 0 {
		return // what takes every point along needs all of it
	}
	roll, pitch, yaw := m.Pose.R.RPY()
	b := m.OfBase().SigmaT()
	fmt.Fprintf(w, "  base       baseNewFromBaseOld xyz_mm [%s, %s, %s], rpy_deg [%.4f, %.4f, %.4f]\n",
		value.MM(m.Pose.T.X, b.X), value.MM(m.Pose.T.Y, b.Y), value.MM(m.Pose.T.Z, b.Z), degree(roll), degree(pitch), degree(yaw))
}

func degree(rad float64) float64 { return rad * 180 / math.Pi }

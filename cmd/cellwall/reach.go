package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"text/tabwriter"

	"cellwall/export/caution"
	"cellwall/export/whole"
	"cellwall/mapping/cell"
	"cellwall/mapping/motion"
	"cellwall/scene"
	"cellwall/scene/reach"

	"github.com/spf13/cobra"
)

// reachOptions are the flags of reach.
type reachOptions struct {
	program, out, folder string
	margin               *float64 // nil for the scene's
}

func reachCommand(c *common) *cobra.Command {
	var o reachOptions
	var margin float64
	cmd := &cobra.Command{
		Use:   "reach CELL --program FILE",
		Short: "How near a program's moves come, certainly nowhere nearer",
		Long: "Holds every move of a program against the scene of CELL/map/scene.json and against the arm\n" +
			"itself, and writes reach.json. The program is CSV with the header name,motion,j1,...,jn (deg),\n" +
			"and x,y,z,qw,qx,qy,qz (mm) besides where rows give the flange's pose instead. motion is how\n" +
			"the arm gets there from the row before: joint (all joints in proportion) or line (the flange\n" +
			"straight). The first row is where the arm starts.\n\n" +
			"A move is clear where it nowhere comes nearer than the margin and all that the arm sweeps was\n" +
			"seen; near where it may come nearer; hit; or unseen where it enters space that nobody has seen.\n" +
			"Exit status 1 where a move is not clear.\n\n" + cautions(),
		Args: one("CELL, the cell folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("margin") {
				o.margin = &margin
			}
			r, err := reachReport(cmd.Context(), args[0], &o)
			if err != nil {
				return err
			}
			if err := whole.File(cmd.Context(), o.out, r.WriteJSON); err != nil {
				return err
			}
			if err := printReach(cmd.OutOrStdout(), c, r, o.out); err != nil {
				return err
			}
			if !r.AllClear() {
				return errNo
			}
			return nil
		},
	}
	cmd.Flags().StringVarP(&o.program, "program", "p", "", "the program's file, CSV")
	cmd.Flags().StringVarP(&o.out, "out", "o", "", "the file to write (default CELL/reach.json)")
	cmd.Flags().StringVar(&o.folder, "map", "", "the map folder to read (default CELL/map)")
	cmd.Flags().Float64Var(&margin, "margin", 0, "the clearance in mm under which a move is near (default: the scene's margin)")
	return cmd
}

// reachReport holds the program against the mapped cell. It fills in the options
// that have defaults.
func reachReport(ctx context.Context, dir string, o *reachOptions) (*reach.Report, error) {
	if o.program == "" {
		return nil, errors.New("reach needs --program FILE, the moves to check")
	}
	o.folder = cmp.Or(o.folder, filepath.Join(dir, "map"))
	o.out = cmp.Or(o.out, filepath.Join(dir, "reach.json"))
	in, err := cell.Open(dir)
	if err != nil {
		return nil, err
	}
	s, err := openScene(o.folder, dir)
	if err != nil {
		return nil, err
	}
	check, err := newChecker(in, s, o.margin)
	if err != nil {
		return nil, err
	}
	p, err := reach.OpenProgram(o.program, in.Robot)
	if err != nil {
		return nil, err
	}
	moves, err := check.Moves(ctx, p)
	if err != nil {
		return nil, err
	}
	return check.NewReport(s.Cell, p, moves, caution.Sentences), nil
}

// newChecker for the cell's robot, which has stood wherever it scanned from.
func newChecker(in *cell.Cell, s *scene.Scene, margin *float64) (*reach.Checker, error) {
	if in.Robot == nil {
		return nil, fmt.Errorf("%s names no robot, so nothing is known of its joints or its volume; add robot: FILE to cell.yaml", in.Dir)
	}
	check, err := reach.NewChecker(in.Robot, s)
	if err != nil {
		return nil, err
	}
	if margin != nil {
		if check.Margin = *margin; !(*margin >= 0) {
			return nil, fmt.Errorf("--margin is %g mm, and must not be negative", *margin)
		}
	}
	return check, stoodAt(check, in)
}

// stoodAt tells the checker where the arm stood while it scanned.
func stoodAt(check *reach.Checker, in *cell.Cell) error {
	for _, scan := range in.Scans {
		if !scan.Moving() {
			continue
		}
		track, err := motion.Open(in.Path(scan.Motion), in.Robot)
		if err != nil {
			return err
		}
		for i := 0; track.Joints() && i < track.Len(); i++ {
			check.Been(track.Posture(i))
		}
	}
	return nil
}

func printReach(w io.Writer, c *common, r *reach.Report, out string) error {
	if c.json {
		return r.WriteJSON(w)
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "row\tmotion\tverdict\tleast\tnowhere under\tlink\tto\tat\titself")
	for _, m := range r.Moves {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\n", m.Name, m.Motion, m.Verdict, nearnessRow(m.Scene), leastOf(m.Self))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, m := range r.Moves {
		if m.Unseen != nil {
			fmt.Fprintf(w, "%s: the %s may enter unseen space at %.0f %% of the move\n", m.Name, m.Unseen.Link, 100*m.Unseen.At)
		}
	}
	for _, pair := range r.Unchecked {
		fmt.Fprintf(w, "not held against each other, for they overlap at every posture: %s\n", pair)
	}
	for _, pair := range r.Allowed {
		fmt.Fprintf(w, "allowed to overlap, as they did where the arm scanned from: %s\n", pair)
	}
	fmt.Fprintf(w, "\ndistances in mm to the solids as fitted; near is under %.0f mm; all of it in %s\n\n%s\n", r.Margin, out, cautions())
	return nil
}

func nearnessRow(n *reach.Nearness) string {
	if n == nil {
		return "-\t-\t-\t-\t-"
	}
	return fmt.Sprintf("%.1f\t%.1f\t%s\t%s\t%.0f %%", n.Least, n.Bound, n.Link, n.Object, 100*n.At)
}

func leastOf(n *reach.Nearness) string {
	if n == nil {
		return "-"
	}
	return fmt.Sprintf("%.1f", n.Bound)
}

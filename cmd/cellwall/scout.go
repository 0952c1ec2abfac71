package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"cellwall/export/whole"
	"cellwall/mapping"
	"cellwall/mapping/cell"
	"cellwall/mapping/fault"
	"cellwall/scene/scout"
	"cellwall/scene/space"

	"github.com/spf13/cobra"
)

func scoutCommand(c *common) *cobra.Command {
	var out string
	var sweeps int
	var blind bool
	cmd := &cobra.Command{
		Use:   "scout CELL",
		Short: "Which sweeps to add: those that would see most of the unseen space in reach",
		Long: "Looks in CELL/map for space that the arm can touch and nobody has looked into, and proposes sweeps:\n" +
			"one joint turns while the scanner runs. Every sweep, and the way to it from a posture that the arm\n" +
			"scanned from, is clear by the map as it stands: nowhere nearer to anything than the margin, and\n" +
			"nowhere in unseen space; with --through-unseen only clear of what the map holds, for an arm that is\n" +
			"driven by hand. What a sweep sees is an expectation, for nobody knows what stands there.\n" +
			"--out writes a folder with each sweep as a program: there from where a scan began, along, and back.\n" +
			"Hold them against the map with `cellwall reach --program`.\n" +
			"Exit status 1 where no sweep is worth adding.\n\n" + cautions(),
		Args: one("CELL, the mapped cell folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if sweeps < 1 {
				return fmt.Errorf("--sweeps is %d; ask for one at least", sweeps)
			}
			if out != "" {
				if err := whole.Replaceable(out, scout.JSONFile); err != nil {
					return err
				}
			}
			plan, err := scoutCell(cmd.Context(), args[0], sweeps, blind, reporter(cmd, c))
			if err != nil {
				return err
			}
			if out != "" {
				if err := whole.Folder(cmd.Context(), out, scout.JSONFile, plan.WriteFolder); err != nil {
					return err
				}
			}
			if err := printScout(cmd.OutOrStdout(), c, plan, out); err != nil {
				return err
			}
			if len(plan.Sweeps) == 0 {
				return errNo
			}
			return nil
		},
	}
	cmd.Flags().StringVarP(&out, "out", "o", "", "the folder to write: the plan, and a program a sweep")
	cmd.Flags().BoolVar(&blind, "through-unseen", false, "propose moves through unseen space too, for an arm that is driven by hand")
	cmd.Flags().IntVarP(&sweeps, "sweeps", "n", 3, "how many sweeps to propose at most")
	return cmd
}

// scoutCell proposes sweeps for the mapped cell in the folder dir.
func scoutCell(ctx context.Context, dir string, sweeps int, blind bool, tell teller) (*scout.Plan, error) {
	in, err := cell.Open(dir)
	if err != nil {
		return nil, err
	}
	o := &reachOptions{folder: filepath.Join(dir, "map")}
	s, err := openScene(tell, o.folder, dir)
	if err != nil {
		return nil, err
	}
	at, err := newStage(in, s, o)
	if err != nil {
		return nil, err
	}
	if at.states == nil {
		return nil, &fault.Error{File: filepath.Join(o.folder, space.FileName), Rule: "the map does not tell which space was seen",
			Remedy: "scan with a robot that has joints, and map the cell again"}
	}
	scanner := in.Scanner
	if scanner.Fan, err = mapping.Fan(in); err != nil {
		return nil, err
	}
	return scout.Propose(ctx, &scout.Cell{Arm: in.Robot, Scanner: scanner, States: at.states, Check: at.check, Homes: at.homes, Blind: blind}, sweeps)
}

func printScout(w io.Writer, c *common, p *scout.Plan, out string) error {
	if c.json {
		return p.WriteJSON(w)
	}
	fmt.Fprintf(w, "%.2f m3 that the arm could touch were never looked into\n", p.Unseen)
	if len(p.Sweeps) == 0 {
		fmt.Fprintf(w, "no sweep over ways that the map allows is expected to see a worthwhile part of it; drive the arm by hand\n"+
			"(see --through-unseen), or scan from a tripod\n\n%s\n", cautions())
		return nil
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "sweep\tturns\tfrom\tto\tother joints\texpected to see\tleft\tthe arm's way")
	left := p.Unseen
	for i, s := range p.Sweeps {
		left -= s.Sees
		way := "clear"
		if s.Blind {
			way = "through unseen space"
		}
		fmt.Fprintf(t, "%d\tj%d\t%s\t%s\t%s\t%.2f m3\t%.2f m3\t%s\n", i+1, s.Joint+1, angle(s.From[s.Joint]), angle(s.To[s.Joint]), others(s), s.Sees, left, way)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if slices.ContainsFunc(p.Sweeps, func(s scout.Sweep) bool { return s.Blind }) {
		fmt.Fprintln(w, "\nwhere the way leads through unseen space nobody knows what stands: drive by hand, at reduced speed, and watch")
	}
	fmt.Fprintf(w, "\nturn so slowly that profiles lie at most %.1f° apart; the way to each begins and ends at a posture in which a scan began\n", p.Apart*180/math.Pi)
	if out != "" {
		fmt.Fprintf(w, "the moves of each, there and back, are in %s; hold them against the map: cellwall reach CELL --program FILE\n", filepath.Join(out, "sweep-*.csv"))
	}
	fmt.Fprintf(w, "\n%s\n", cautions())
	return nil
}

func angle(rad float64) string {
	return strconv.FormatFloat(math.Round(degree(rad)*10)/10+0, 'f', -1, 64) + "°"
}

// others spells the joints that a sweep holds still.
func others(s scout.Sweep) string {
	var out []string
	for i, v := range s.From {
		if i != s.Joint {
			out = append(out, fmt.Sprintf("j%d %s", i+1, angle(v)))
		}
	}
	return strings.Join(out, ", ")
}

package main

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"cellwall/export/caution"
	"cellwall/export/drawing"
	"cellwall/export/reachsheet"
	"cellwall/export/whole"
	"cellwall/mapping/arm"
	"cellwall/mapping/cell"
	"cellwall/scene"
	"cellwall/scene/reach"

	"github.com/spf13/cobra"
)

// reachOptions are the flags of reach.
type reachOptions struct {
	program, out, folder string
	margin               *float64 // nil for the scene's
	restrict             []string // joints' ranges, of the whole reach
	keepOff              string   // an object
	gaps                 string   // a profile
}

func reachCommand(c *common) *cobra.Command {
	var o reachOptions
	var margin float64
	cmd := &cobra.Command{
		Use:   "reach CELL [--program FILE]",
		Short: "How near a program's moves come, certainly nowhere nearer; or what the arm can reach",
		Long: "Without a program: which objects of CELL/map/scene.json the arm can touch within its joints'\n" +
			"limits, by which link, and from which it certainly stays how far; --keep-off suggests limits.\n\n" +
			"With a program: holds every move of a program against the scene of CELL/map/scene.json and against the arm\n" +
			"itself. The program is CSV with the header name,motion,j1,...,jn (deg),\n" +
			"and x,y,z,qw,qx,qy,qz (mm) besides where rows give the tool point's pose instead. motion is how\n" +
			"the arm gets there from the row before: joint (all joints in proportion) or line (the tool point\n" +
			"straight; the flange's origin where robot.yaml has no tool). The first row is where the arm starts.\n" +
			"The column config chooses among the ways in which the arm reaches a pose, by the sides of angles on\n" +
			"which joints stand, such as j3<0 j5>0 (deg); without it a pose is reached as near to the row before\n" +
			"as can be. The column carry names a part (parts: in cell.yaml) that the tool carries from that row on,\n" +
			"until a row says \"nothing\" there.\n\n" +
			"A move is clear where it nowhere comes nearer than the margin and all that the arm sweeps was\n" +
			"seen; near where it may come nearer; hit; or unseen where it enters space that nobody has seen.\n" +
			"Exit status 1 where a move is not clear.\n\n" +
			"Both write a folder: reach.json for programs, report.html to read and print, drawings (plan and\n" +
			"elevations with what the program sweeps, or the maximum and the restricted space, and the least\n" +
			"clearances), and without a program the spaces as STL, mm, base frame.\n\n" + cautions(),
		Args: one("CELL, the cell folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("margin") {
				o.margin = &margin
			}
			o.settle(args[0])
			if err := spareFolder("--out", o.out, args[0], o.folder, cmp.Or(o.program, args[0])); err != nil {
				return err
			}
			if err := whole.Replaceable(o.out, reachsheet.JSONFile); err != nil {
				return err
			}
			r, err := reachOf(cmd.Context(), args[0], &o, reporter(cmd, c))
			if err != nil {
				return err
			}
			if err := whole.Folder(cmd.Context(), o.out, reachsheet.JSONFile, func(tmp string) error { return reachsheet.Write(tmp, r) }); err != nil {
				return err
			}
			if err := printReach(cmd.OutOrStdout(), c, r.Report, o.out); err != nil {
				return err
			}
			if !r.Report.AllClear() {
				return errNo
			}
			return nil
		},
	}
	cmd.AddCommand(separationCommand())
	cmd.Flags().StringVarP(&o.program, "program", "p", "", "the program's file, CSV")
	cmd.Flags().StringVarP(&o.out, "out", "o", "", "the folder to write (default CELL/reach, with a program CELL/reach-NAME)")
	cmd.Flags().StringVar(&o.folder, "map", "", "the map folder to read (default CELL/map)")
	cmd.Flags().StringArrayVar(&o.restrict, "restrict", nil, "a narrower range of a joint for the whole reach, such as j1=-60:60 (deg); may be repeated")
	cmd.Flags().StringVar(&o.keepOff, "keep-off", "", "suggest limits that keep the arm off this object")
	cmd.Flags().StringVar(&o.gaps, "gaps", "", "list where moves leave gaps that can crush, by the profile iso-13854-2017 or r15.06-1999")
	cmd.Flags().Float64Var(&margin, "margin", 0, "the clearance in mm under which a move is near (default: the scene's margin)")
	return cmd
}

// settle fills in the options that have defaults.
func (o *reachOptions) settle(dir string) {
	o.folder = cmp.Or(o.folder, filepath.Join(dir, "map"))
	name := "reach"
	if o.program != "" {
		name += "-" + strings.TrimSuffix(filepath.Base(o.program), filepath.Ext(o.program))
	}
	o.out = cmp.Or(o.out, filepath.Join(dir, name))
}

// reachOf holds the program, or the whole reach, against the mapped cell.
func reachOf(ctx context.Context, dir string, o *reachOptions, tell teller) (*reachsheet.Result, error) {
	in, err := cell.Open(dir)
	if err != nil {
		return nil, err
	}
	s, err := openScene(tell, o.folder, dir)
	if err != nil {
		return nil, err
	}
	at, err := newStage(in, s, o)
	if err != nil {
		return nil, err
	}
	check := at.check
	r := &reachsheet.Result{Scene: s, Report: check.NewReport(s.Cell, caution.Sentences),
		Title: drawing.Title{Number: mapNumber(o.folder), Creator: "cellwall " + scene.Version}}
	r.Report.Clear = s.Space.ClearRestsOn()
	if o.program == "" {
		if o.gaps != "" {
			return nil, errors.New("--gaps is for the moves of a program; name one with --program")
		}
		return r, wholeReach(ctx, check, r, in.Restricted, o)
	}
	if o.restrict != nil || o.keepOff != "" {
		return nil, errors.New("--restrict and --keep-off are for the whole reach; leave --program out")
	}
	return r, programReach(ctx, check, r, in.Robot, o)
}

// programReach holds a program against the scene.
func programReach(ctx context.Context, check *reach.Checker, r *reachsheet.Result, a *arm.Arm, o *reachOptions) error {
	if info, err := os.Stat(o.program); err == nil && info.IsDir() {
		return fmt.Errorf("--program %s is a folder; name the program's file, CSV", o.program)
	}
	p, err := reach.OpenProgram(o.program, a)
	if err != nil {
		return err
	}
	moves, err := check.Moves(ctx, p)
	if err != nil {
		return err
	}
	r.Report.Take(check, p, moves)
	r.Figure.About = "What " + filepath.Base(o.program) + " sweeps"
	r.Figure.Nearest = nearestOf(r.Report)
	views := drawing.ReachViews(r.Scene)
	if m := reach.Nearest(moves); m != nil {
		r.Figure.Posture = m.Silhouette(views)
	}
	r.Figure.Swept, err = check.Swept(ctx, moves, views)
	return err
}

// mapNumber is what the map's record says its drawings bear; empty where there is
// no record.
func mapNumber(folder string) string {
	var record struct {
		Number string `json:"number"`
	}
	text, err := os.ReadFile(filepath.Join(folder, recordFile))
	if err != nil || json.Unmarshal(text, &record) != nil {
		return ""
	}
	return record.Number
}

package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"

	"cellwall/export/value"
	"cellwall/scene/rigid"
	"cellwall/scene/touch"

	"github.com/spf13/cobra"
)

func touchCommand(c *common) *cobra.Command {
	var points, frame string
	var sigma, level float64
	var solve bool
	cmd := &cobra.Command{
		Use:   "touch CELL --points FILE",
		Short: "Hold the map against points touched off with a pointer",
		Long: "FILE is a CSV table: name, x, y, z (the centre of the pointer's ball in base, mm), radius (of the\n" +
			"ball, mm; 0 for a tip), object and, where wanted, surface and sigma. Prints how far each touched\n" +
			"point lies in front of the mapped surface, against the uncertainty of both. --solve gives the\n" +
			"rigid motion from the map to what was touched; touches that leave a direction open are refused.\n" +
			"--frame A,B,C gives the frame with A as origin, B on +X and C in the XY plane; for that, the touches\n" +
			"need no object. Exit status 1 where map and touches do not agree.\n\n" + cautions(),
		Args: one("CELL, the mapped cell folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := checkLevel(level); err != nil {
				return err
			}
			if points == "" {
				return fmt.Errorf("--points is missing; name the CSV table of touched points")
			}
			touched, err := touch.Open(points, sigma)
			if err != nil {
				return err
			}
			if frame != "" {
				return printFrame(cmd.OutOrStdout(), touched, frame)
			}
			s, err := openMap(filepath.Join(args[0], "map"), "CELL", "the mapped cell folder")
			if err != nil {
				return err
			}
			reporter(cmd, c).stale(filepath.Join(args[0], "map"), args[0])
			check, err := touch.Against(s, touched, level, points)
			if err != nil {
				return err
			}
			var fix *touch.Correction
			if solve {
				if fix, err = check.Solve(); err != nil {
					return err
				}
			}
			if err := printTouch(cmd.OutOrStdout(), c, check, fix); err != nil {
				return err
			}
			if !check.Agrees() {
				return errNo
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&points, "points", "", "the CSV table of touched points")
	cmd.Flags().BoolVar(&solve, "solve", false, "give the rigid correction that the touches imply")
	cmd.Flags().StringVar(&frame, "frame", "", "three touches `A,B,C`: give the frame that they make")
	cmd.Flags().Float64Var(&sigma, "sigma", 0, "standard uncertainty of a touch, mm, for rows without one: arm and pointer together")
	cmd.Flags().Float64Var(&level, "level", 0.99, "of the tests: the share of true maps that agree")
	return cmd
}

func printTouch(w io.Writer, c *common, check *touch.Check, fix *touch.Correction) error {
	if c.json {
		return check.WriteJSON(w, fix)
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "touch\tsurface\tin front of it, mm\tsigma touch\tsigma map\tverdict")
	for _, h := range check.Held {
		verdict := "agrees"
		if !h.Agrees {
			verdict = "does not agree, " + chance(h.Test)
		}
		if h.Outside > 0 {
			verdict += fmt.Sprintf("; %.0f mm beyond what was scanned of it", h.Outside)
		}
		fmt.Fprintf(t, "%s\t%s %s\t%+.2f\t%.2f\t%.2f\t%s\n", h.Name, h.Object, h.Face, h.Distance, h.Sigma, h.MapSigma, verdict)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	word := "agree"
	if !check.Agrees() {
		word = "do not agree"
	}
	fmt.Fprintf(w, "\nmap and touches %s: chi-square %.1f of %d, %s, level %g\n", word, check.Test.ChiSquare, check.Test.Freedom, chance(check.Test), check.Level)
	if fix != nil {
		printCorrection(w, fix)
	}
	fmt.Fprintf(w, "\n%s\n", cautions())
	return nil
}

// chance is that of a greater chi-square where nothing but the stated uncertainty is
// at work; how far below a thousandth it is says nothing more.
func chance(t rigid.Test) string {
	if p := t.P(); p >= 0.001 {
		return fmt.Sprintf("p = %.2g", p)
	}
	return "p < 0.001"
}

func printCorrection(w io.Writer, fix *touch.Correction) {
	word := "not told apart from none"
	if fix.Needed {
		word = "beyond its uncertainty"
	}
	at, turned := fix.OfBase().SigmaT(), fix.Cov.SigmaR()
	roll, pitch, yaw := fix.Pose.R.RPY()
	fmt.Fprintf(w, "\ncorrection, %s: touchedFromMapped xyz_mm [%s, %s, %s], rpy_deg [%s, %s, %s]\n", word,
		value.MM(fix.Pose.T.X, at.X), value.MM(fix.Pose.T.Y, at.Y), value.MM(fix.Pose.T.Z, at.Z),
		value.Deg(roll, turned.X), value.Deg(pitch, turned.Y), value.Deg(yaw, turned.Z))
	s, sigma := fix.Shift(fix.Pose.Inverse().Apply(fix.About)), fix.Cov.SigmaT()
	fmt.Fprintf(w, "  in the middle of the touches by (%s, %s, %s) mm; it leaves chi-square %.1f of %d\n",
		value.MM(s.X, sigma.X), value.MM(s.Y, sigma.Y), value.MM(s.Z, sigma.Z), fix.Misfit.ChiSquare, fix.Misfit.Freedom)
}

// printFrame prints the frame of three named touches.
func printFrame(w io.Writer, all []touch.Point, frame string) error {
	parts := strings.Split(frame, ",")
	if len(parts) != 3 {
		return fmt.Errorf("--frame is %q; name three touches with commas between, origin first", frame)
	}
	var p [3]touch.Point
	for i, name := range parts {
		k := slices.IndexFunc(all, func(q touch.Point) bool { return q.Name == strings.TrimSpace(name) })
		if k < 0 {
			return fmt.Errorf("--frame: no touch is named %q", name)
		}
		p[i] = all[k]
	}
	pose, cov, err := touch.Frame(p)
	if err != nil {
		return err
	}
	s, r := cov.SigmaT(), cov.SigmaR()
	roll, pitch, yaw := pose.R.RPY()
	fmt.Fprintf(w, "baseFromFrame xyz_mm [%s, %s, %s], rpy_deg [%s, %s, %s]\n",
		value.MM(pose.T.X, s.X), value.MM(pose.T.Y, s.Y), value.MM(pose.T.Z, s.Z),
		value.Deg(roll, r.X), value.Deg(pitch, r.Y), value.Deg(yaw, r.Z))
	return nil
}

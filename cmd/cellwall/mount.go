package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"cellwall/export/value"
	"cellwall/export/whole"
	"cellwall/mapping/align"
	"cellwall/mapping/cell"
	"cellwall/mapping/mount"

	"github.com/spf13/cobra"
)

func mountCommand(c *common) *cobra.Command {
	var write bool
	cmd := &cobra.Command{
		Use:   "mount CELL",
		Short: "Solve the scanner's mount and latency from the cell's own scans",
		Long: "Solves how the scanner sits on the flange, and how late its stamps are, by making the surfaces\n" +
			"that several scans of the cell folder CELL share agree; no target is needed, but those that\n" +
			"cell.yaml lists are used. Says how well each value is known and what the scans do not tell:\n" +
			"such parts stay as given. cell.yaml is changed only with --write.",
		Args: one("CELL, the cell folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			tell := reporter(cmd, c)
			in, err := cell.Open(args[0])
			if err != nil {
				return err
			}
			tell.warn(in.Remarks)
			s, err := mount.Solve(cmd.Context(), in, tell.progress)
			if err != nil {
				return err
			}
			if write {
				if err := remount(cmd.Context(), in, s.Found); err != nil {
					return err
				}
			}
			if c.json {
				return printMountJSON(cmd.OutOrStdout(), s, write)
			}
			return printMount(cmd.OutOrStdout(), s, in.Path("cell.yaml"), write)
		},
	}
	cmd.Flags().BoolVarP(&write, "write", "w", false, "put the mount and the latency found into cell.yaml; all else in it stays as it is")
	return cmd
}

// remount writes the mount into the cell's file.
func remount(ctx context.Context, c *cell.Cell, m mount.Mount) error {
	text, err := c.Remount(m.FlangeFromScanner, m.Latency)
	if err != nil {
		return err
	}
	return whole.File(ctx, c.Path("cell.yaml"), func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}

func printMount(w io.Writer, s *mount.Solution, file string, written bool) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "flange from scanner\tgiven\tfound\tchange")
	for _, v := range s.Values() {
		fmt.Fprintf(t, "%s %s\t%s\t%s\t%s\n", v.Name, v.Unit, plain(v.Given, v), found(v), plain(v.Found-v.Given, v))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(w, "± is %d sigma, about 95 %%, and holds what the scans' disagreement and noise explain\n", value.Coverage)
	fmt.Fprintf(w, "\n%d shared surfaces; patches lie off them by %.2f mm (rms) with the given mount, %.2f mm with this one\n",
		s.Adjustment.Surfaces, s.Before, s.After)
	fmt.Fprintln(w, verdict(s))
	if left := s.Adjustment.Spread.Face; left > align.Bent {
		fmt.Fprintf(w, "surfaces still lie %.2f mm off each other from scan to scan: something else is off too, such as the arm's zeros or its DH rows\n", left)
	}
	for _, text := range s.Untold {
		fmt.Fprintln(w, "\nnot told, left as given:", text)
	}
	for _, text := range s.Roughly {
		fmt.Fprintln(w, "\ntold roughly:", text)
	}
	for _, name := range s.Outliers {
		fmt.Fprintf(w, "\nscan %s lies far off all others and hardly counts: look at its motion, and whether anything moved\n", name)
	}
	switch {
	case written:
		fmt.Fprintf(w, "\nwritten to %s\n", file)
	case s.Significant():
		fmt.Fprintf(w, "\n%s is unchanged; --write puts these values into it\n", file)
	}
	return nil
}

func verdict(s *mount.Solution) string {
	if s.Significant() {
		return "the given mount is off by more than chance explains (chi-square, 95 %)"
	}
	return "the given mount is not told apart from a right one (chi-square, 95 %)"
}

// found is a value with its expanded uncertainty.
func found(v mount.Value) string {
	if math.IsInf(v.Sigma, 0) {
		return plain(v.Found, v) + " not told"
	}
	u := value.Coverage * v.Sigma
	if least := math.Pow(10, -float64(places(v))); u < least {
		u = least
	}
	return fmt.Sprintf("%s ± %s", plain(v.Found, v), plain(u, v))
}

// plain is a number to the place that can matter.
func plain(x float64, v mount.Value) string { return fmt.Sprintf("%.*f", places(v), x) }

// places: a hundredth of a millimetre or millisecond, a thousandth of a degree.
func places(v mount.Value) int {
	if v.Unit == "deg" {
		return 3
	}
	return 2
}

// mountResult is what `mount --json` prints.
type mountResult struct {
	Given       mountValues                         `json:"given"`
	Found       mountValues                         `json:"found"`
	Sigma       map[string]*float64                 `json:"sigma"` // null: not told
	Covariance  [align.Params][align.Params]float64 `json:"covariance"`
	Axes        string                              `json:"covariance_of"`
	Significant bool                                `json:"given_is_off"`
	NotTold     []string                            `json:"not_told"`
	Roughly     []string                            `json:"told_roughly"`
	Outliers    []string                            `json:"outlier_scans"`
	Surfaces    int                                 `json:"shared_surfaces"`
	Before      float64                             `json:"rms_before_mm"`
	After       float64                             `json:"rms_after_mm"`
	Written     bool                                `json:"written"`
}

type mountValues struct {
	XYZ     [3]float64 `json:"xyz_mm"`
	RPY     [3]float64 `json:"rpy_deg"`
	Latency float64    `json:"latency_ms"`
}

func printMountJSON(w io.Writer, s *mount.Solution, written bool) error {
	r := mountResult{
		Sigma: map[string]*float64{}, Covariance: s.Cov(), Significant: s.Significant(), Written: written,
		Axes:    "shift (mm) and rotation vector (rad) of the scanner along and about the flange's axes, latency (s); of what is told",
		NotTold: append([]string{}, s.Untold...), Roughly: append([]string{}, s.Roughly...),
		Outliers: append([]string{}, s.Outliers...),
		Surfaces: s.Adjustment.Surfaces, Before: s.Before, After: s.After,
	}
	for k, v := range s.Values() {
		switch {
		case k < 3:
			r.Given.XYZ[k], r.Found.XYZ[k] = v.Given, v.Found
		case k < 6:
			r.Given.RPY[k-3], r.Found.RPY[k-3] = v.Given, v.Found
		default:
			r.Given.Latency, r.Found.Latency = v.Given, v.Found
		}
		key := strings.Join([]string{v.Name, v.Unit}, "_")
		r.Sigma[key] = nil
		if !math.IsInf(v.Sigma, 0) {
			r.Sigma[key] = &v.Sigma
		}
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(r)
}

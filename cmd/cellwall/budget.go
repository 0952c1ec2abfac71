package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"cellwall/export/value"
	"cellwall/fit"
	"cellwall/mapping/geom"
	"cellwall/scene"

	"github.com/spf13/cobra"
)

// budgetRow is a source of uncertainty of a pose: one sigma along and about the
// axes of base.
type budgetRow struct {
	Source   string     `json:"source"`
	XYZ      [3]float64 `json:"xyz_mm"`
	Rotation [3]float64 `json:"rotation_deg"`
}

// budgetFace is a face that the pose may rest on.
type budgetFace struct {
	Name      string   `json:"name"`
	Points    int      `json:"points"`
	Effective float64  `json:"effective_points"` // 0 where it has no budget of its own
	RMS       float64  `json:"rms_mm"`
	Scans     []string `json:"scans"`
}

// budgetTable is the uncertainty budget of an object's pose.
type budgetTable struct {
	Object   string       `json:"object"`
	Shares   []budgetRow  `json:"shares"`
	Combined budgetRow    `json:"combined"`
	Coverage float64      `json:"coverage_factor"`
	Expanded budgetRow    `json:"expanded"`
	Faces    []budgetFace `json:"faces"`
}

// printBudget shows the budget of one object of the map.
func printBudget(cmd *cobra.Command, c *common, s *scene.Scene, name string) error {
	k := slices.IndexFunc(s.Objects, func(o scene.Object) bool { return o.Name == name && o.Kind != scene.Remainder })
	if k < 0 {
		return noBudget(s, name)
	}
	t := budgetOf(&s.Objects[k], s.Scans)
	if c.json {
		e := json.NewEncoder(cmd.OutOrStdout())
		e.SetIndent("", "  ")
		return e.Encode(t)
	}
	return t.print(cmd.OutOrStdout())
}

// noBudget says why an object has none.
func noBudget(s *scene.Scene, name string) error {
	for _, r := range s.NotLocated {
		if r.Name == name {
			return fmt.Errorf("--budget: %s was not located: %s; scan %s", name, r.Reason, r.ScanNext)
		}
	}
	var names []string
	for i := range s.Objects {
		if s.Objects[i].Kind != scene.Remainder {
			names = append(names, s.Objects[i].Name)
		}
	}
	if len(names) == 0 {
		return errors.New("--budget: no object was located")
	}
	return fmt.Errorf("--budget: no object is called %q; located are %s", name, strings.Join(names, ", "))
}

func budgetOf(o *scene.Object, scans []string) *budgetTable {
	t := &budgetTable{Object: o.Name, Coverage: value.Coverage, Combined: rowOf("combined", o.Cov, 1)}
	for _, x := range o.Shares() {
		t.Shares = append(t.Shares, rowOf(x.Source, x.Cov, 1))
	}
	t.Expanded = rowOf(fmt.Sprintf("expanded, k = %d", value.Coverage), o.Cov, value.Coverage)
	for i := range o.Faces {
		t.Faces = append(t.Faces, faceOf(&o.Faces[i], scans))
	}
	return t
}

func rowOf(source string, c geom.Cov6, k float64) budgetRow {
	r := budgetRow{Source: source}
	for i := range 3 {
		r.XYZ[i] = k * math.Sqrt(max(c[i][i], 0))
		r.Rotation[i] = k * math.Sqrt(max(c[3+i][3+i], 0)) * 180 / math.Pi
	}
	return r
}

func faceOf(f *fit.Face, scans []string) budgetFace {
	b := budgetFace{Name: f.Name, Points: f.Points, Effective: f.Effective(), RMS: f.RMS}
	for _, k := range f.Scans {
		b.Scans = append(b.Scans, scans[k])
	}
	return b
}

func (t *budgetTable) print(w io.Writer) error {
	fmt.Fprintf(w, "uncertainty of the pose of %s, one sigma, along and about the axes of base\n\n", t.Object)
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(tab, "source\tX mm\tY mm\tZ mm\tabout X deg\tabout Y deg\tabout Z deg\n")
	for _, r := range slices.Concat(t.Shares, []budgetRow{t.Combined, t.Expanded}) {
		fmt.Fprintf(tab, "%s\t%.3f\t%.3f\t%.3f\t%.4f\t%.4f\t%.4f\n", r.Source, r.XYZ[0], r.XYZ[1], r.XYZ[2], r.Rotation[0], r.Rotation[1], r.Rotation[2])
	}
	if err := tab.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(w, "\nThe mount is taken to be as good as scanner.mount_accuracy in cell.yaml says: 0.15 mm and 0.015 deg, one sigma, where it says nothing.\nA pose fitted to close passes (vise, shape) has it between the sweeps, which look from several sides.\n\n")
	fmt.Fprintf(tab, "face\tpoints\tof effect\trms mm\tscans\n")
	for _, f := range t.Faces {
		effective := "-"
		if f.Effective > 0 {
			effective = fmt.Sprintf("%.0f", f.Effective)
		}
		fmt.Fprintf(tab, "%s\t%d\t%s\t%.3f\t%s\n", f.Name, f.Points, effective, f.RMS, strings.Join(f.Scans, ", "))
	}
	if err := tab.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w, "of effect: how many independent points would know the face's place as well, by noise alone")
	return nil
}

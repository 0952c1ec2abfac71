package main

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"sort"
	"strings"
	"text/tabwriter"

	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/scene"

	"github.com/spf13/cobra"
)

// coverage is the factor of the expanded uncertainties that people are shown:
// about 95 % (JCGM 100:2008, 6.3.3).
const coverage = 2

// printMap shows a map: the scene itself under --json, else a short table.
func printMap(cmd *cobra.Command, c *common, s *scene.Scene, out string) error {
	w := cmd.OutOrStdout()
	if c.json {
		return s.WriteJSON(w)
	}
	if err := printObjects(w, s); err != nil {
		return err
	}
	printRefused(w, s.NotLocated)
	printPoints(w, s.Points)
	fmt.Fprintf(w, "\nopen   %s\n       %s\nload   %s\n       %s\n\n",
		filepath.Join(out, "report.html"), filepath.Join(out, "drawings", "drawings.pdf"),
		filepath.Join(out, "scene.stl"), filepath.Join(out, sceneFile))
	fmt.Fprintln(w, cautions())
	return nil
}

func printObjects(w io.Writer, s *scene.Scene) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "object\tkind\tx, y, z mm\t± mm\tturned deg\t± deg\tmeasures mm\t\n")
	for _, o := range s.Objects {
		if o.Kind == scene.Remainder {
			fmt.Fprintf(t, "%s\t%d solids for what no object explains\t\t\t\t\t\t\n", o.Name, len(o.Solids))
			continue
		}
		st, sr := o.Cov.SigmaT(), o.Cov.SigmaR()
		_, _, yaw := o.Pose.R.RPY()
		fmt.Fprintf(t, "%s\t%s\t%.1f, %.1f, %.1f\t%s\t%.2f\t%s\t%s\t\n", o.Name, o.Kind,
			o.Pose.T.X, o.Pose.T.Y, o.Pose.T.Z, expanded(st.X, st.Y, st.Z),
			upright(degrees(yaw)), expanded(degrees(sr.X), degrees(sr.Y), degrees(sr.Z)), measures(o.Measures))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(w, "positions in base; ± is %d sigma of the worst axis; turned is about base Z\n", coverage)
	return nil
}

// upright turns what would round to -0.00 into 0.
func upright(deg float64) float64 { return math.Round(100*deg)/100 + 0 }

// expanded is the greatest of the standard uncertainties, expanded.
func expanded(sigmas ...float64) string {
	worst := 0.0
	for _, s := range sigmas {
		worst = math.Max(worst, s)
	}
	return fmt.Sprintf("%.2g", coverage*worst)
}

func measures(m map[string]fit.Measure) string {
	names := make([]string, 0, len(m))
	for name := range m {
		names = append(names, name)
	}
	sort.Strings(names)
	for i, name := range names {
		label := strings.ReplaceAll(strings.TrimSuffix(name, "_mm"), "_", " ")
		names[i] = fmt.Sprintf("%s %.1f ± %.2g", label, m[name].Value, coverage*m[name].Sigma)
	}
	return strings.Join(names, ", ")
}

func printRefused(w io.Writer, refused []fit.Refusal) {
	for _, r := range refused {
		fmt.Fprintf(w, "\nnot located: %s (%s)\n  why        %s\n  scan next  %s\n", r.Name, r.Kind, r.Reason, r.ScanNext)
	}
}

func printPoints(w io.Writer, n mapping.Counts) {
	var dropped []string
	for why, k := range n.Dropped {
		if k > 0 {
			dropped = append(dropped, fmt.Sprintf("%s %d", mapping.Reason(why), k))
		}
	}
	fmt.Fprintf(w, "\npoints: %d read, %d used; dropped: %s\n", n.Read, n.Used, list(dropped))
}

// list joins words, and says so where there are none.
func list(words []string) string {
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, ", ")
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }

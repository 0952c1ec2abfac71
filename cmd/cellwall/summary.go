package main

import (
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"

	"cellwall/export/evidence"
	"cellwall/export/value"
	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/scene"

	"github.com/spf13/cobra"
)

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
	printPlaced(w, s.Placed)
	printSpace(w, s.Space)
	printPoints(w, s.Points)
	fmt.Fprintf(w, "\nopen   %s\n       %s\nload   %s\n       %s\n\n",
		filepath.Join(out, "report.html"), filepath.Join(out, "drawings", "drawings.pdf"),
		filepath.Join(out, "scene.stl"), filepath.Join(out, sceneFile))
	fmt.Fprintln(w, cautions())
	return nil
}

func printObjects(w io.Writer, s *scene.Scene) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "object\tkind\tx mm\ty mm\tz mm\tturned\tmeasures mm\n")
	for _, o := range s.Objects {
		if o.Kind == scene.Remainder {
			fmt.Fprintf(t, "%s\t%d solids round what no object explains\n", o.Name, len(o.Solids))
			continue
		}
		if evidence.Flat(&o) {
			d := evidence.Distance(&o)
			fmt.Fprintf(t, "%s\t%s\t\t\t\t\t%s from the base's origin\n", o.Name, o.Kind, value.MM(d.Value, d.Sigma))
			continue
		}
		at, sigma, turn := o.Pose.T, o.Cov.SigmaT(), o.Cov.SigmaR()
		_, _, yaw := o.Pose.R.RPY()
		bounded := func(v, sigma float64) string { return value.Bounded(v, sigma, len(o.NotSeen) > 0) }
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\n", o.Name, o.Kind,
			bounded(at.X, sigma.X), bounded(at.Y, sigma.Y), bounded(at.Z, sigma.Z),
			value.Deg(yaw, turn.Z), measures(o.Measures, bounded))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(w, "each datum in base; ± is %d sigma, about 95 %%; turned is about base Z; about: a side was not seen, scene.json bounds it\n", value.Coverage)
	return nil
}

// measures in one line, by name.
func measures(m map[string]fit.Measure, spell func(v, sigma float64) string) string {
	names := slices.Sorted(maps.Keys(m))
	for i, name := range names {
		label := strings.ReplaceAll(strings.TrimSuffix(name, "_mm"), "_", " ")
		names[i] = label + " " + spell(m[name].Value, m[name].Sigma)
	}
	return strings.Join(names, ", ")
}

// printPlaced says where scans of rough pose were found to stand.
func printPlaced(w io.Writer, placed []mapping.Placed) {
	for _, p := range placed {
		s, r := p.Cov.SigmaT(), p.Cov.SigmaR()
		fmt.Fprintf(w, "\nscan %s was placed: moved by %s, %s, %s mm and turned by %s, %s, %s about base X, Y, Z\n",
			p.Scan, value.MM(p.Shift.X, s.X), value.MM(p.Shift.Y, s.Y), value.MM(p.Shift.Z, s.Z),
			value.Deg(p.Turn.X, r.X), value.Deg(p.Turn.Y, r.Y), value.Deg(p.Turn.Z, r.Z))
		fmt.Fprintf(w, "  shares %d planes and %.0f %% of the mapped surfaces, %.1f mm rms before, %.1f mm now\n",
			p.Fit.Surfaces, 100*p.Fit.Overlap, p.Before, p.Fit.RMS)
	}
}

func printRefused(w io.Writer, refused []fit.Refusal) {
	for _, r := range refused {
		fmt.Fprintf(w, "\nnot located: %s (%s)\n  why        %s\n  scan next  %s\n", r.Name, r.Kind, r.Reason, r.ScanNext)
	}
}

// printSpace says how much of the space that the arm can reach nobody has looked
// into.
func printSpace(w io.Writer, v *scene.Space) {
	if v == nil {
		fmt.Fprintf(w, "\nspace: not told apart into clear and unseen, for no robot is named\n")
		return
	}
	fmt.Fprintf(w, "\nspace: %.2f m3 clear; %.2f m3 that the arm could touch were never looked into: take them for occupied\n",
		v.Clear, v.UnseenInReach)
	for _, line := range v.ClearRestsOn() {
		fmt.Fprintf(w, "       %s\n", line)
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

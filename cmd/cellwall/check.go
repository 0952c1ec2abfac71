package main

import (
	"encoding/json"
	"fmt"
	"io"
	"text/tabwriter"

	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/cell"

	"github.com/spf13/cobra"
)

func checkCommand(c *common) *cobra.Command {
	return &cobra.Command{
		Use:   "check CELL",
		Short: "Read everything, say what is wrong and what the scans cover; write nothing",
		Long: "Reads the cell folder CELL as `map` would and says, scan by scan, how many points are used\n" +
			"and why others are dropped, then which objects the scans suffice for. Exit status 1 where\n" +
			"an expected object cannot be located from these scans. Writes nothing.",
		Args: one("CELL, the cell folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			tell := reporter(cmd, c)
			in, err := cell.Open(args[0])
			if err != nil {
				return err
			}
			cloud, err := mapping.Merge(cmd.Context(), in, tell.progress)
			if err != nil {
				return err
			}
			if err := align.Cloud(cloud); err != nil {
				return err
			}
			tell.warn(cloud.Warnings)
			found := fit.Find(cloud, in.Wanted)
			if err := printCheck(cmd.OutOrStdout(), c, cloud, found); err != nil {
				return err
			}
			if len(found.Refused) > 0 {
				return errNo
			}
			return nil
		},
	}
}

// checkResult is what `check --json` prints.
type checkResult struct {
	Scans      []scanResult    `json:"scans"`
	NoiseMM    float64         `json:"noise_mm_at_1_m"`
	NoiseGiven bool            `json:"noise_declared"`
	Warnings   []string        `json:"warnings"`
	Located    []string        `json:"located"`
	NotLocated []refusalResult `json:"not_located"`
}

type scanResult struct {
	Name    string           `json:"name"`
	Read    int64            `json:"read"`
	Used    int64            `json:"used"`
	Dropped map[string]int64 `json:"dropped"`
}

type refusalResult struct {
	Name     string `json:"name"`
	Kind     string `json:"kind"`
	Reason   string `json:"reason"`
	ScanNext string `json:"scan_next"`
}

func newCheckResult(cloud *mapping.Cloud, found *fit.Findings) checkResult {
	r := checkResult{
		NoiseMM: cloud.Noise.Sigma(1000), NoiseGiven: cloud.Noise.Given,
		Warnings: append([]string{}, cloud.Warnings...), Located: []string{}, NotLocated: []refusalResult{},
	}
	for i, name := range cloud.Scans {
		n := cloud.PerScan[i]
		s := scanResult{Name: name, Read: n.Read, Used: n.Used, Dropped: map[string]int64{}}
		for why, k := range n.Dropped {
			s.Dropped[mapping.Reason(why).String()] = k
		}
		r.Scans = append(r.Scans, s)
	}
	for _, o := range found.Objects {
		r.Located = append(r.Located, o.Name)
	}
	for _, no := range found.Refused {
		r.NotLocated = append(r.NotLocated, refusalResult{no.Name, string(no.Kind), no.Reason, no.ScanNext})
	}
	return r
}

func printCheck(w io.Writer, c *common, cloud *mapping.Cloud, found *fit.Findings) error {
	r := newCheckResult(cloud, found)
	if c.json {
		enc := json.NewEncoder(w)
		enc.SetIndent("", "  ")
		return enc.Encode(r)
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(t, "scan\tread\tused\t")
	for why := range cloud.Counts.Dropped {
		fmt.Fprintf(t, "%s\t", mapping.Reason(why))
	}
	fmt.Fprintln(t)
	for i, name := range cloud.Scans {
		printScan(t, name, cloud.PerScan[i])
	}
	printScan(t, "all", cloud.Counts)
	if err := t.Flush(); err != nil {
		return err
	}
	how := "estimated from the scans"
	if cloud.Noise.Given {
		how = "declared"
	}
	fmt.Fprintf(w, "\nnoise along the ray at 1 m: %.2f mm, %s\n", cloud.Noise.Sigma(1000), how)
	fmt.Fprintf(w, "enough to locate: %s\n", list(r.Located))
	printRefused(w, found.Refused)
	return nil
}

func printScan(w io.Writer, name string, n mapping.Counts) {
	fmt.Fprintf(w, "%s\t%d\t%d\t", name, n.Read, n.Used)
	for _, k := range n.Dropped {
		fmt.Fprintf(w, "%d\t", k)
	}
	fmt.Fprintln(w)
}

package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"cellwall/export/whole"
	"cellwall/fixtures"
	"cellwall/mapping/fault"

	"github.com/spf13/cobra"
)

// truthFile marks a folder as a demo cell that may be written again.
const truthFile = "truth.json"

func demoCommand(c *common) *cobra.Command {
	var seed uint64
	cmd := &cobra.Command{
		Use:   "demo [DIR]",
		Short: "Write the demo cell, with simulated scans, and map it",
		Long: "Writes the demo cell into DIR (default demo-cell): an invented shop in which a six-axis arm\n" +
			"tends a mill, scanned from the arm's wrist by a simulated scanner with the usual faults. The\n" +
			"truth is written beside it as truth.json. Then maps it as `cellwall map DIR` would.\n\n" + cautions(),
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := "demo-cell"
			if len(args) == 1 {
				dir = args[0]
			}
			tell := reporter(cmd, c)
			if err := writeDemo(cmd.Context(), dir, seed, progress(cmd, c, "casting scans")); err != nil {
				return err
			}
			out := filepath.Join(dir, "map")
			s, err := mapCell(cmd.Context(), dir, out, tell)
			if err != nil {
				return err
			}
			return printMap(cmd, c, s, out)
		},
	}
	cmd.Flags().Uint64Var(&seed, "seed", 1, "which demo: every seed draws other noise and another placement")
	return cmd
}

// writeDemo casts the demo's scans into the cell folder dir.
func writeDemo(ctx context.Context, dir string, seed uint64, show func(done, total int64)) error {
	if err := spareEdits(dir); err != nil {
		return err
	}
	shop, err := fixtures.Build(fixtures.Demo(seed))
	if err != nil {
		return err
	}
	return whole.Folder(ctx, dir, truthFile, func(tmp string) error {
		return shop.WriteContext(ctx, tmp, func(part float64) { show(int64(1000*part), 1000) })
	})
}

// spareEdits refuses to replace a demo cell that somebody worked on.
func spareEdits(dir string) error {
	truth, err := os.ReadFile(filepath.Join(dir, truthFile))
	if err != nil {
		return nil // no demo cell; whole.Folder judges what it is
	}
	seed, err := fixtures.Seed(truth)
	if err != nil {
		return fault.OfOpening(filepath.Join(dir, truthFile), err)
	}
	shop, err := fixtures.Build(fixtures.Demo(seed))
	if err != nil {
		return err
	}
	name, err := shop.Edited(dir)
	if err != nil {
		return err
	}
	if name != "" {
		return fmt.Errorf("%s holds %s, which is not as the demo wrote it; name another folder, or remove this one first", dir, name)
	}
	return nil
}

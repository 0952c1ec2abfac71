package main

import (
	"fmt"

	"cellwall/scene"

	"github.com/spf13/cobra"
)

// teller is how a long step speaks while it works.
type teller struct {
	progress func(done, total int64)
	warn     func(warnings []string)
}

// reporter tells on the command's stderr, or not at all under --quiet.
func reporter(cmd *cobra.Command, c *common) teller {
	return teller{
		progress: progress(cmd, c, "reading scans"),
		warn: func(warnings []string) {
			if c.quiet {
				return
			}
			for _, w := range warnings {
				fmt.Fprintln(cmd.ErrOrStderr(), "cellwall: warning:", w)
			}
		},
	}
}

// stale warns where files of the cell are not what the map was made from.
func (t teller) stale(folder, cell string) {
	changed := scene.Changed(cell, folder)
	if n := len(changed); n > 0 {
		t.warn([]string{fmt.Sprintf("the map is not of the cell as it stands: %s changed since (%d of its files); run: cellwall map %s", changed[0], n, cell)})
	}
}

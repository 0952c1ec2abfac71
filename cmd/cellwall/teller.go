package main

import (
	"fmt"

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

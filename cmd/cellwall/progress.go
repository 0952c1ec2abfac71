package main

import (
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/spf13/cobra"
	"golang.org/x/term"
)

// patience is how long work may last before a bar is worth a look.
const patience = time.Second

// progress returns a function to report work done to, in whatever unit. A bar
// appears on stderr, with the time left, when that is a terminal and the work
// lasts over patience.
func progress(cmd *cobra.Command, c *common, what string) func(done, total int64) {
	f, ok := cmd.ErrOrStderr().(*os.File)
	if c.quiet || !ok || !term.IsTerminal(int(f.Fd())) {
		return func(int64, int64) {}
	}
	start := time.Now()
	var bar *progressbar.ProgressBar
	return func(done, total int64) {
		if bar == nil {
			if time.Since(start) < patience {
				return
			}
			bar = progressbar.NewOptions64(total,
				progressbar.OptionSetWriter(f),
				progressbar.OptionSetDescription(what),
				progressbar.OptionSetPredictTime(true),
				progressbar.OptionClearOnFinish())
		}
		_ = bar.Set64(done) // a bar that cannot be drawn is no reason to stop
	}
}

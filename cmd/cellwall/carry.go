package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"cellwall/export/whole"
	"cellwall/scene/moves"

	"github.com/spf13/cobra"
)

// carried are the taught points that `moved` takes along.
type carried struct {
	from, to string
	check    float64
	points   []moves.Taught
	done     []moves.Carried
	failed   int // points that could not be corrected
}

func (k *carried) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&k.from, "points", "", "a CSV table of taught points to correct")
	cmd.Flags().StringVar(&k.to, "to", "", "the CSV table of corrected points to write")
	cmd.Flags().Float64Var(&k.check, "check", 10, "flag points that are corrected by more than so many mm")
}

// open reads the points, before long work.
func (k *carried) open() error {
	switch {
	case k.from == "" && k.to == "":
		return nil
	case k.from == "":
		return errors.New("--to is given without --points; name the table of taught points")
	case k.to == "":
		return errors.New("--points is given without --to; name the table of corrected points to write")
	case filepath.Clean(k.from) == filepath.Clean(k.to):
		return errors.New("--to names the taught points themselves; name another file, and keep those")
	case !(k.check >= 0):
		return fmt.Errorf("--check is %g mm; it must not be negative", k.check)
	}
	err := endsIn("--to", k.to, ".csv")
	if err != nil {
		return err
	}
	k.points, err = moves.OpenTaught(k.from)
	return err
}

// write corrects the points and writes them whole; what needs a look is said on
// stderr, for stdout holds the moves.
func (k *carried) write(cmd *cobra.Command, c *common, told *moves.Comparison) error {
	if k.to == "" {
		return nil
	}
	k.done = told.Carry(k.points, k.check)
	done := k.done
	if err := whole.File(cmd.Context(), k.to, func(w io.Writer) error { return moves.WriteCarried(w, done) }); err != nil {
		return err
	}
	flagged := 0
	for i := range done {
		if done[i].Why != "" {
			k.failed++
			fmt.Fprintf(cmd.ErrOrStderr(), "cellwall: %s was not corrected: %s; scan next %s\n", done[i].Name, done[i].Why, done[i].ScanNext)
		} else if done[i].Check {
			flagged++
		}
	}
	if !c.quiet {
		fmt.Fprintf(cmd.ErrOrStderr(), "cellwall: %s holds %d points, %d of them corrected by more than %g mm: drive there at reduced speed first; %d not corrected\n",
			k.to, len(done), flagged, k.check, k.failed)
	}
	return nil
}

package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"

	"cellwall/export/value"
	"cellwall/scene/changes"
	"cellwall/scene/space"

	"github.com/spf13/cobra"
	"gonum.org/v1/gonum/spatial/r3"
)

func changesCommand(c *common) *cobra.Command {
	var level float64
	cmd := &cobra.Command{
		Use:   "changes OLD NEW",
		Short: "What is new, gone, moved or resized between two maps",
		Long: "OLD and NEW are map folders. Says of each object of OLD whether it is where it was, moved, of another\n" +
			"size or shape, gone, or not seen; and of what NEW shows beyond them whether it is new, or stands where\n" +
			"OLD saw nothing. Gone and new need rays of the other map that went through the place; what was not\n" +
			"looked at is not seen, never gone. Same in part is what may have slid in a direction that nothing seen\n" +
			"in both maps tells of.\n\n" + cautions(),
		Args: two("OLD and NEW, two map folders"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := checkLevel(level); err != nil {
				return err
			}
			old, err := openSeen(args[0])
			if err != nil {
				return err
			}
			now, err := openSeen(args[1])
			if err != nil {
				return err
			}
			if err := twoMaps(args[0], args[1], "OLD and NEW", "name the map folders of two scans"); err != nil {
				return err
			}
			ofOneCell(cmd, old.Scene, now.Scene)
			all := changes.Between(old, now, level)
			if c.json {
				return changes.WriteJSON(cmd.OutOrStdout(), all, level)
			}
			return printChanges(cmd.OutOrStdout(), all, level)
		},
	}
	cmd.Flags().Float64Var(&level, "level", 0.99, "of the tests: the share of still objects that are not called moved")
	return cmd
}

// openSeen opens a map folder with its states of space. A folder without a file of
// them is an older map: then nothing can be called gone on its word.
func openSeen(folder string) (changes.Map, error) {
	s, err := openMap(folder, "OLD and NEW", "two map folders")
	if err != nil {
		return changes.Map{}, err
	}
	m := changes.Map{Scene: s}
	if info, err := os.Stat(folder); err == nil && !info.IsDir() {
		folder = filepath.Dir(folder)
	}
	path := filepath.Join(folder, space.FileName)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return m, nil
	}
	states, err := space.Open(path)
	if err != nil {
		return m, err
	}
	m.States = states
	return m, nil
}

func printChanges(w io.Writer, all []changes.Change, level float64) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "change\tobject\tkind\tabout, mm\twhat")
	for _, c := range all {
		name := c.Name
		if c.NewName != "" && c.NewName != c.Name {
			name += ", now " + c.NewName
		}
		if c.Sort == changes.New || c.Sort == changes.NotBefore {
			name += " of NEW"
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t(%.0f, %.0f, %.0f)\t%s\n", strings.ReplaceAll(string(c.Sort), "-", " "), name, c.Kind, c.At.X, c.At.Y, c.At.Z, whatChanged(c))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(w, "± is k = 2; moved and resized are told at the level %g; gone and new by rays of the other map\n\n%s\n", level, cautions())
	return nil
}

// whatChanged is the last column of the table.
func whatChanged(c changes.Change) string {
	var all []string
	if c.Sort == changes.Moved {
		all = append(all, "by "+value.MM(c.Shift, c.SigmaT)+" mm, turned by "+value.Deg(c.Turn, c.SigmaR))
	}
	for _, r := range c.Sizes {
		all = append(all, fmt.Sprintf("%s %s, was %s", strings.TrimSuffix(r.Name, "_mm"), value.MM(r.New.Value, r.New.Sigma), value.MM(r.Old.Value, r.Old.Sigma)))
	}
	for _, f := range c.Unlike {
		all = append(all, f+" does not go with the rest")
	}
	for _, f := range c.Vanished {
		all = append(all, f+" is gone")
	}
	for _, f := range c.Appeared {
		all = append(all, f+" is new")
	}
	if len(c.Open) > 0 {
		all = append(all, "not told: "+strings.Join(c.Open, ", "))
	}
	all = append(all, c.Weak...)
	if c.Size != (r3.Vec{}) {
		all = append(all, fmt.Sprintf("%.0f x %.0f x %.0f mm", c.Size.X, c.Size.Y, c.Size.Z))
	}
	switch c.Sort {
	case changes.Gone, changes.New:
		all = append(all, fmt.Sprintf("rays of the other map went through %.0f %% of its place", 100*c.Evidence))
	}
	return strings.Join(all, "; ")
}

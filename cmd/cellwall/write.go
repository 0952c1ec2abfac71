package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"

	"cellwall/export/extent"
	"cellwall/export/form"
	"cellwall/mapping/fault"
	"cellwall/scene"

	"github.com/spf13/cobra"
)

func writeCommand(c *common) *cobra.Command {
	var as, out, folder, solids string
	cmd := &cobra.Command{
		Use:   "write CELL --as FORMAT",
		Short: "Write the mapped scene in a further open format",
		Long: "Writes the scene of CELL/map/scene.json in another open format:\n\n" + formats() + "\n" +
			"A planner wants solids grown by their margins, a person who measures wants them as fitted;\n" +
			"--solids says which, and the file says it too. A file that stands already is replaced only\n" +
			"when the new one is whole.",
		Args: one("CELL, the cell folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			f, err := form.Find(as)
			if err != nil {
				return err
			}
			e := f.Usual
			if solids != "" {
				if e, err = extent.Parse(solids); err != nil {
					return err
				}
			}
			if folder == "" {
				folder = filepath.Join(args[0], "map")
			}
			if out == "" {
				out = filepath.Join(folder, "scene"+f.Suffix)
			}
			if err := endsIn("--out", out, f.Suffix); err != nil {
				return err
			}
			s, err := openScene(reporter(cmd, c), folder, args[0])
			if err != nil {
				return err
			}
			files, err := f.Write(cmd.Context(), out, s, e)
			if err != nil {
				return err
			}
			return printWritten(cmd.OutOrStdout(), c, writtenResult{f.Name, e.String(), files, len(s.Objects), countSolids(s)})
		},
	}
	cmd.Flags().StringVar(&as, "as", "", "the format: "+strings.Join(formatNames(), ", "))
	cmd.Flags().StringVarP(&out, "out", "o", "", "the file to write (default MAP/scene with the format's ending)")
	cmd.Flags().StringVar(&folder, "map", "", "the map folder to read (default CELL/map)")
	cmd.Flags().StringVar(&solids, "solids", "", "grown (by their margins) or fitted (without); the default is the format's own")
	return cmd
}

// openScene reads the scene of a map folder; where there is none it says how to
// make one, and where the cell has changed since it says that too.
func openScene(tell teller, folder, cell string) (*scene.Scene, error) {
	s, err := scene.Open(filepath.Join(folder, sceneFile))
	var bad *fault.Error
	if !errors.As(err, &bad) {
		tell.stale(folder, cell)
		return s, err
	}
	switch info, no := os.Stat(cell); {
	case no != nil:
		bad.File, bad.Rule, bad.Remedy = cell, "there is no such folder", "name the cell folder"
	case !info.IsDir():
		bad.File, bad.Rule, bad.Remedy = cell, "it is a file", "name the cell folder"
	case errors.Is(err, fs.ErrNotExist) && filepath.Clean(folder) != filepath.Join(cell, "map"):
		bad.File, bad.Rule, bad.Remedy = folder, "there is no map in it: "+sceneFile+" is missing", "name a folder that cellwall map wrote"
	case errors.Is(err, fs.ErrNotExist):
		bad.Rule, bad.Remedy = "there is no map yet", "run: cellwall map "+cell
	}
	return nil, err
}

func formatNames() []string {
	var names []string
	for _, f := range form.All {
		names = append(names, f.Name)
	}
	return names
}

// formats as a table for --help.
func formats() string {
	var b strings.Builder
	t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for _, f := range form.All {
		fmt.Fprintf(t, "  %s\t%s\t(%s)\n", f.Name, f.What, f.Usual)
	}
	t.Flush()
	return b.String()
}

func countSolids(s *scene.Scene) int {
	n := 0
	for i := range s.Objects {
		n += len(s.Objects[i].Solids)
	}
	return n
}

// writtenResult is what `write --json` prints.
type writtenResult struct {
	Format  string   `json:"format"`
	Extent  string   `json:"solids"`
	Files   []string `json:"files"`
	Objects int      `json:"object_count"`
	Solids  int      `json:"solid_count"`
}

func printWritten(w io.Writer, c *common, r writtenResult) error {
	if c.json {
		enc := json.NewEncoder(w)
		enc.SetIndent("", "  ")
		return enc.Encode(r)
	}
	fmt.Fprintf(w, "wrote %s: %d objects, %d solids, %s\n", r.Files[0], r.Objects, r.Solids, r.Extent)
	if n := len(r.Files) - 1; n > 0 {
		fmt.Fprintf(w, "and %d meshes in %s, to be kept beside it\n", n, filepath.Dir(r.Files[1]))
	}
	return nil
}

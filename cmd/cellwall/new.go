package main

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"cellwall/export/whole"

	"github.com/spf13/cobra"
)

//go:embed template
var templates embed.FS

func newCommand(c *common) *cobra.Command {
	return &cobra.Command{
		Use:   "new DIR",
		Short: "Start a cell folder with commented files to fill in",
		Args:  one("DIR, the folder to start"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := start(args[0]); err != nil {
				return err
			}
			if !c.quiet {
				cmd.Printf("Fill in %s and %s, put the scans in %s, then run: cellwall check %s\n",
					filepath.Join(args[0], "cell.yaml"), filepath.Join(args[0], "robot.yaml"),
					filepath.Join(args[0], "scans"), args[0])
			}
			return nil
		},
	}
}

// start writes the template into dir, which may exist but hold no cell yet.
func start(dir string) error {
	if _, err := os.Stat(filepath.Join(dir, "cell.yaml")); err == nil {
		return fmt.Errorf("%s already holds a cell.yaml; name another folder", dir)
	}
	if err := whole.Passable(dir); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Join(dir, "scans"), 0o755); err != nil {
		return err
	}
	content, err := fs.Sub(templates, "template")
	if err != nil {
		return err
	}
	for _, name := range []string{"robot.yaml", "cell.yaml"} { // cell.yaml last: it marks the folder as started
		text, err := fs.ReadFile(content, name)
		if err != nil {
			return err
		}
		f, err := os.OpenFile(filepath.Join(dir, name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return err
		}
		_, err = f.Write(text)
		if err := errors.Join(err, f.Close()); err != nil {
			return err
		}
	}
	return nil
}

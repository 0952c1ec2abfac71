package main

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"time"

	"cellwall/export"
	"cellwall/export/drawing"
	"cellwall/export/report"
	"cellwall/export/whole"
	"cellwall/fit"
	"cellwall/mapping"
	"cellwall/mapping/align"
	"cellwall/mapping/cell"
	"cellwall/scene"
	"cellwall/scene/space"

	"github.com/spf13/cobra"
)

// sceneFile and recordFile are what a map folder is known by.
const (
	sceneFile  = "scene.json"
	recordFile = scene.RecordFile
)

func mapCommand(c *common) *cobra.Command {
	var out, budget string
	var strict bool
	cmd := &cobra.Command{
		Use:   "map CELL",
		Short: "Map a cell: scans to collision scene, jaw datum and drawings",
		Long: "Places the scans of the cell folder CELL in the base frame, finds what stands there, and\n" +
			"writes the map folder: scene.json, scene.stl, one STL per object, cloud.ply, drawings,\n" +
			"report.html and record.json. An earlier map is replaced only when the new one is whole.\n\n" + cautions(),
		Args: one("CELL, the cell folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if out == "" {
				out = filepath.Join(args[0], "map")
			}
			if budget != "" {
				found, err := locate(cmd.Context(), args[0], reporter(cmd, c), newClock())
				if err != nil {
					return err
				}
				return printBudget(cmd, c, found.scene, budget)
			}
			s, err := mapCell(cmd.Context(), args[0], out, reporter(cmd, c))
			if err != nil {
				return err
			}
			if err := printMap(cmd, c, s, out); err != nil {
				return err
			}
			if strict && len(s.NotLocated) > 0 {
				return errNo
			}
			return nil
		},
	}
	cmd.Flags().StringVarP(&out, "out", "o", "", "the map folder to write (default CELL/map)")
	cmd.Flags().StringVar(&budget, "budget", "", "write nothing, and show what the uncertainty of this object's pose is made of")
	cmd.Flags().BoolVar(&strict, "strict", false, "exit with status 1 where an object was not located")
	return cmd
}

// mapCell is the main job: cell folder in, map folder out.
func mapCell(ctx context.Context, dir, out string, tell teller) (*scene.Scene, error) {
	clock := newClock()
	if err := whole.Replaceable(out, sceneFile); err != nil {
		return nil, err
	}
	found, err := locate(ctx, dir, tell, clock)
	if err != nil {
		return nil, err
	}
	record, err := scene.NewRecord(found.cell, found.scene)
	if err != nil {
		return nil, err
	}
	clock.lap("record")

	return found.scene, whole.Folder(ctx, out, sceneFile, func(tmp string) error {
		if err := export.Write(tmp, export.Map{
			Scene: found.scene,
			Cloud: found.cloud,
			Title: drawing.Title{Number: record.Number, Creator: "cellwall " + scene.Version},
			Other: []report.File{
				{Name: sceneFile, What: "the scene, for programs"},
				{Name: recordFile, What: "what the map was made from"},
			},
		}); err != nil {
			return err
		}
		clock.lap("export")
		record.Times = clock.laps
		return writeRecords(tmp, record, found.scene)
	})
}

// located is a cell with all that was found in it.
type located struct {
	cell  *cell.Cell
	cloud *mapping.Cloud
	scene *scene.Scene
}

// locate reads a cell folder and finds what stands there; it writes nothing.
func locate(ctx context.Context, dir string, tell teller, clock *clock) (*located, error) {
	c, err := cell.Open(dir)
	if err != nil {
		return nil, err
	}
	cloud, err := mapping.Merge(ctx, c, tell.progress)
	if err != nil {
		return nil, err
	}
	if err := align.Cloud(cloud); err != nil {
		return nil, err
	}
	tell.warn(cloud.Warnings)
	clock.lap("merge")

	found := fit.Find(cloud, c.Wanted)
	clock.lap("fit")

	s, err := scene.Build(c, cloud, found)
	if err != nil {
		return nil, err
	}
	clock.lap("scene")
	return &located{c, cloud, s}, nil
}

// writeRecords writes the files that programs read.
func writeRecords(dir string, record *scene.Record, s *scene.Scene) error {
	if err := writeFile(filepath.Join(dir, recordFile), record.WriteJSON); err != nil {
		return err
	}
	if s.States != nil {
		if err := writeFile(filepath.Join(dir, space.FileName), s.States.Write); err != nil {
			return err
		}
	}
	return writeFile(filepath.Join(dir, sceneFile), s.WriteJSON)
}

// writeFile creates path with what write says.
func writeFile(path string, write func(io.Writer) error) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(write(f), f.Close())
}

// clock takes the time of each step, for the record.
type clock struct {
	last time.Time
	laps map[string]float64 // s
}

func newClock() *clock { return &clock{last: time.Now(), laps: map[string]float64{}} }

func (c *clock) lap(step string) {
	now := time.Now()
	c.laps[step] = now.Sub(c.last).Seconds()
	c.last = now
}

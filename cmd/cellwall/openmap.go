package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"cellwall/mapping/fault"
	"cellwall/scene"

	"github.com/spf13/cobra"
)

// openMap opens the scene of a map folder, or of a scene.json; flag says what
// named it.
func openMap(path, flag, what string) (*scene.Scene, error) {
	if path == "" {
		return nil, fmt.Errorf("%s is missing; name %s", flag, what)
	}
	s, err := scene.Open(sceneOf(path))
	var bad *fault.Error
	if errors.As(err, &bad) && errors.Is(err, fs.ErrNotExist) {
		if inner := filepath.Join(path, "map"); holdsScene(inner) {
			bad.Remedy = fmt.Sprintf("%s is the cell's folder; name its map, %s", path, inner)
		}
	}
	return s, err
}

// sceneOf is the scene.json of a map folder, or the file itself.
func sceneOf(path string) string {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return filepath.Join(path, sceneFile)
	}
	return path
}

func holdsScene(folder string) bool {
	_, err := os.Stat(filepath.Join(folder, sceneFile))
	return err == nil
}

// twoMaps refuses a map that is to be held against itself, or against a copy of
// itself: nothing would ever have moved.
func twoMaps(a, b, flag, remedy string) error {
	x, err1 := os.ReadFile(sceneOf(a))
	y, err2 := os.ReadFile(sceneOf(b))
	if err1 == nil && err2 == nil && bytes.Equal(x, y) {
		return fmt.Errorf("%s: %s and %s hold one and the same map, which tells nothing of what moved; %s", flag, a, b, remedy)
	}
	return nil
}

// ofOneCell warns where two maps bear the names of different cells.
func ofOneCell(cmd *cobra.Command, old, now *scene.Scene) {
	if old.Cell != now.Cell {
		fmt.Fprintf(cmd.ErrOrStderr(), "cellwall: the old map is of the cell %q, the new one of %q: a move from one cell to another means nothing\n", old.Cell, now.Cell)
	}
}

// mapOf is the map of a cell, made first where there is none.
func mapOf(ctx context.Context, dir string, tell teller) (*scene.Scene, error) {
	out := filepath.Join(dir, "map")
	if !holdsScene(out) {
		return mapCell(ctx, dir, out, tell)
	}
	tell.stale(out, dir)
	return openMap(out, "CELL", "the cell folder")
}

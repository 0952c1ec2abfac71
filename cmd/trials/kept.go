package main

import (
	"fmt"
	"os"
	"path/filepath"

	"cellwall/fixtures"
	"cellwall/mapping/cell"
	"cellwall/scene"
	"cellwall/scene/changes"
	"cellwall/scene/space"
)

// maps makes the maps of cells; with a folder it keeps them there, and takes what
// is there for made: what is judged of two maps can then be worked on without
// mapping anew.
type maps struct {
	folder string
	asPut  bool // leave the scans where the arm put them
}

// of casts and maps a cell, under a name that tells it from all others.
func (m maps) of(s fixtures.Settings, name string) (*fixtures.Shop, changes.Map, error) {
	shop, err := fixtures.Build(s)
	if err != nil {
		return nil, changes.Map{}, err
	}
	dir := filepath.Join(m.folder, name)
	if _, err := os.Stat(filepath.Join(dir, "scene.json")); m.folder != "" && err == nil {
		out, err := open(dir)
		return shop, out, err
	}
	var built *scene.Scene
	err = written(s, func(_ *fixtures.Shop, c *cell.Cell) error {
		built, _, err = build(c, m.asPut)
		return err
	})
	if err != nil {
		return nil, changes.Map{}, err
	}
	out := changes.Map{Scene: built}
	if built.States != nil {
		out.States = built.States
	}
	if m.folder != "" {
		err = keep(dir, built)
	}
	return shop, out, err
}

func open(dir string) (changes.Map, error) {
	s, err := scene.Open(filepath.Join(dir, "scene.json"))
	if err != nil {
		return changes.Map{}, err
	}
	states, err := space.Open(filepath.Join(dir, space.FileName))
	if err != nil {
		return changes.Map{}, err
	}
	return changes.Map{Scene: s, States: states}, nil
}

// keep writes the states first: a folder that holds a scene is whole.
func keep(dir string, s *scene.Scene) error {
	if s.States == nil {
		return fmt.Errorf("%s: the states of space were not worked out", dir)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	f, err := os.Create(filepath.Join(dir, space.FileName))
	if err != nil {
		return err
	}
	defer f.Close()
	if err := s.States.Write(f); err != nil {
		return err
	}
	g, err := os.Create(filepath.Join(dir, "scene.json"))
	if err != nil {
		return err
	}
	defer g.Close()
	return s.WriteJSON(g)
}

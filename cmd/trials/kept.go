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

// maps makes the maps of cells, and opens them from their files as the commands do
// that compare two; with a folder it keeps them there, and takes what is there for
// made: what is judged of two maps can then be worked on without mapping anew.
type maps struct {
	folder string
	asPut  bool // leave the scans where the arm put them
	right  bool // the scanner sits on the flange exactly as the cell's files say
}

// one is the random cell of a seed to be mapped twice, with the same scanner on the
// same mount.
func (m maps) one(seed uint64, density float64) fixtures.Settings {
	s := fixtures.RandomOf(seed, fixtures.Plain)
	s.Density = density
	if !m.right {
		s.Errors.MountShift, s.Errors.MountTurn, s.Errors.MountSeed = mountShift, mountTurn, seed
	}
	return s
}

// of casts and maps a cell, under a name that tells it from all others.
func (m maps) of(s fixtures.Settings, name string) (*fixtures.Shop, changes.Map, error) {
	shop, err := fixtures.Build(s)
	if err != nil {
		return nil, changes.Map{}, err
	}
	folder := m.folder
	if folder == "" {
		if folder, err = os.MkdirTemp("", "cellwall-maps-"); err != nil {
			return nil, changes.Map{}, err
		}
		defer os.RemoveAll(folder)
	}
	dir := filepath.Join(folder, name)
	if _, err := os.Stat(filepath.Join(dir, "scene.json")); err != nil {
		err = written(s, func(_ *fixtures.Shop, c *cell.Cell) error {
			built, _, err := build(c, m.asPut)
			if err != nil {
				return err
			}
			return keep(dir, built)
		})
		if err != nil {
			return nil, changes.Map{}, err
		}
	}
	out, err := open(dir)
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

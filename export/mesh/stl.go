package mesh

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"cellwall/mapping/cores"
	"cellwall/scene"

	"github.com/hschendel/stl"
)

// The names of what Write makes in its folder.
const (
	SceneFile    = "scene.stl"
	SolidsFolder = "solids"
)

// Write puts all solids of the scene, grown by their margins, into
// dir/scene.stl and those of each object into dir/solids/OBJECT.stl. Objects
// without solids have no file.
func Write(dir string, s *scene.Scene) error {
	if err := os.MkdirAll(filepath.Join(dir, SolidsFolder), 0o755); err != nil {
		return err
	}
	names := make([]string, len(s.Objects))
	for i, o := range s.Objects {
		names[i] = o.Name
	}
	var all []stl.Triangle
	for i, file := range FileNames(names) {
		t, err := triangles(&s.Objects[i])
		if err != nil {
			return err
		}
		if len(t) == 0 {
			continue
		}
		if err := write(filepath.Join(dir, SolidsFolder, file+".stl"), names[i], t); err != nil {
			return err
		}
		all = append(all, t...)
	}
	return write(filepath.Join(dir, SceneFile), s.Cell, all)
}

// triangles are the facets of an object's solids, grown by its margin.
func triangles(o *scene.Object) ([]stl.Triangle, error) {
	parts := make([][]stl.Triangle, len(o.Solids))
	errs := make([]error, len(o.Solids))
	cores.Each(len(parts), func(i int) {
		f, err := Round(o.Solids[i].Mesh(o.Margin))
		if err != nil {
			errs[i] = fmt.Errorf("solid %d of object %q cannot be written as STL: %w", i+1, o.Name, err)
			return
		}
		parts[i] = f.triangles()
	})
	return slices.Concat(parts...), errors.Join(errs...)
}

// write stores the triangles as binary STL.
func write(path, name string, t []stl.Triangle) error {
	return writeHeaded(path, header(name), t)
}

func writeHeaded(path string, header []byte, t []stl.Triangle) error {
	s := stl.Solid{BinaryHeader: header, Triangles: t}
	if err := s.WriteFile(path); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

// headerSize is the length of the free text that a binary STL starts with.
const headerSize = 80

// header says what is in the file and in what units.
func header(name string) []byte {
	return heading("cellwall: mm, base frame, margins included: " + name)
}

// heading is free text in ASCII, cut to size. It must not start with "solid", by
// which readers tell the ASCII form.
func heading(text string) []byte {
	h := []byte(strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, text))
	return h[:min(len(h), headerSize)]
}

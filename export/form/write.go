package form

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"cellwall/export/extent"
	"cellwall/export/links"
	"cellwall/export/whole"
	"cellwall/scene"
)

// Write writes the scene to path, whole or not at all, and returns the files
// that it consists of, path first. The meshes of a format that keeps them beside
// the file go into a folder that is named after it. A file that stands already
// is replaced in one step; its meshes never change under it, for their names
// hold what is in them, and those that it no longer needs go last.
func (f Form) Write(ctx context.Context, path string, s *scene.Scene, e extent.Extent) ([]string, error) {
	if err := whole.Place(path); err != nil {
		return nil, err
	}
	dir, base := filepath.Split(path)
	folder := strings.TrimSuffix(base, filepath.Ext(base)) + "-" + f.Name + "-meshes"
	data, meshes, err := f.render(s, e, folder)
	if err != nil {
		return nil, err
	}
	made, err := writeMeshes(ctx, dir, folder, meshes)
	if err == nil {
		err = whole.File(ctx, path, content(data))
	}
	if err != nil {
		for _, file := range made {
			err = errors.Join(err, os.Remove(file))
		}
		return nil, err
	}
	files := []string{path}
	for _, m := range meshes {
		files = append(files, filepath.Join(dir, filepath.FromSlash(m.Name)))
	}
	return files, clear(filepath.Join(dir, folder), files)
}

// writeMeshes writes those that do not stand yet and says which these are, on an
// error too.
func writeMeshes(ctx context.Context, dir, folder string, meshes []links.File) (made []string, err error) {
	if len(meshes) == 0 {
		return nil, nil
	}
	if err := os.Mkdir(filepath.Join(dir, folder), 0o755); err == nil {
		made = append(made, filepath.Join(dir, folder))
	} else if !errors.Is(err, os.ErrExist) {
		return nil, err
	}
	for _, m := range meshes {
		path := filepath.Join(dir, filepath.FromSlash(m.Name))
		if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, m.Data) {
			continue
		}
		if err := whole.File(ctx, path, content(m.Data)); err != nil {
			return made, err
		}
		made = append([]string{path}, made...) // the folder last, so that it is empty when it goes
	}
	return made, nil
}

func content(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

// ours is what the name of a mesh of an earlier file looks like.
var ours = regexp.MustCompile(`-[0-9a-f]{12}\.stl$`)

// clear removes meshes that no file needs any more, and their folder where
// nothing is left in it.
func clear(folder string, needed []string) error {
	entries, err := os.ReadDir(folder)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	keep := map[string]bool{}
	for _, file := range needed {
		keep[filepath.Base(file)] = true
	}
	left := len(entries)
	for _, e := range entries {
		if keep[e.Name()] || !ours.MatchString(e.Name()) {
			continue
		}
		if err := os.Remove(filepath.Join(folder, e.Name())); err != nil {
			return err
		}
		left--
	}
	if left == 0 {
		return os.Remove(folder)
	}
	return nil
}

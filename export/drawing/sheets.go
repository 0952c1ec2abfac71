// Package drawing draws a scene on A3 sheets that a person checks with a tape
// measure: plan, front and side view and an isometric one, a detail of every
// vise, and a list of the dimensions to check.
package drawing

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"cellwall/export/drawing/paper"
	"cellwall/export/mesh"
	"cellwall/fit"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"
)

// Folder is where Write puts the drawings; PDFFile holds all of them in one.
const (
	Folder  = "drawings"
	PDFFile = "drawings.pdf"
)

var identity = geom.Identity()

// Sheets draws the scene. Every sheet is drawn on its own, so the result does
// not depend on how many run at once.
func Sheets(s *scene.Scene, t Title) ([]*paper.Page, error) {
	if t.Name == "" {
		t.Name = s.Cell
	}
	s = meshed(s)
	keys := keysOf(s)
	var draw []func(number, of int) (*paper.Page, error)
	for _, v := range views(s, keys) {
		draw = append(draw, func(number, of int) (*paper.Page, error) { return general(s, v, keys, t, number, of) })
	}
	files := detailFiles(s)
	for i := range s.Objects {
		if o := &s.Objects[i]; o.Kind == fit.Vise && len(o.Solids) > 0 {
			draw = append(draw, func(number, of int) (*paper.Page, error) { return detail(s, o, keys, files[i], t, number, of) })
		}
	}
	draw = append(draw, func(number, of int) (*paper.Page, error) { return check(keys, t, number, of), nil })
	pages := make([]*paper.Page, len(draw))
	errs := make([]error, len(draw))
	cores.Each(len(draw), func(i int) { pages[i], errs[i] = draw[i](i+1, len(draw)) })
	return pages, errors.Join(errs...)
}

// still is a solid whose surface without margin was worked out beforehand, for
// every sheet asks for it several times.
type still struct {
	solid.Solid
	mesh solid.Mesh
}

// Mesh implements solid.Solid.
func (s still) Mesh(margin float64) solid.Mesh {
	if margin == 0 {
		return s.mesh
	}
	return s.Solid.Mesh(margin)
}

// meshed is the scene with the surfaces of its solids at hand.
func meshed(s *scene.Scene) *scene.Scene {
	out := *s
	out.Objects = slices.Clone(s.Objects)
	for i := range out.Objects {
		o := &out.Objects[i]
		o.Solids = slices.Clone(o.Solids)
		for j, p := range o.Solids {
			o.Solids[j] = still{p, p.Mesh(0)}
		}
	}
	return &out
}

// views are the general ones; the room has a plan of its own where the plan
// shows a part of it only.
func views(s *scene.Scene, keys []key) []view {
	p, all := plans(s, keys)
	out := []view{p, front(), side(), isometric(s)}
	f, _ := compose(s, p)
	if _, cropped, err := f.frame(sizesFor(p, keys)); err == nil && cropped {
		out = append(out, all)
	}
	return out
}

// detailFiles are safe file names for the details, by index of the object.
func detailFiles(s *scene.Scene) []string {
	names := make([]string, len(s.Objects))
	for i := range s.Objects {
		names[i] = "detail-" + s.Objects[i].Name
	}
	return mesh.FileNames(names)
}

// Write puts the sheets into dir/drawings, each as SVG and all as one PDF.
func Write(dir string, pages []*paper.Page, t Title) error {
	dir = filepath.Join(dir, Folder)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for _, p := range pages {
		b, err := p.SVG()
		if err != nil {
			return fmt.Errorf("drawing %s: %w", p.Name, err)
		}
		if err := os.WriteFile(filepath.Join(dir, p.Name+".svg"), b, 0o644); err != nil {
			return err
		}
	}
	return writePDF(filepath.Join(dir, PDFFile), pages, t)
}

func writePDF(path string, pages []*paper.Page, t Title) (err error) {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	return paper.WritePDF(f, pages, t.Date)
}

// Package reachsheet writes what was found of an arm's reach as a folder: for
// programs reach.json, for people a page to read and print, drawings, and the
// space that the arm can take up as STL.
package reachsheet

import (
	_ "embed"
	"os"
	"path/filepath"

	"cellwall/export/caution"
	"cellwall/export/drawing"
	"cellwall/export/mesh"
	"cellwall/export/report"
	"cellwall/scene"
	"cellwall/scene/reach"
	"cellwall/scene/solid"
)

// The files of the folder, beside the drawings.
const (
	JSONFile   = "reach.json" // by which the folder is known
	PageFile   = "report.html"
	Maximum    = "maximum-space.stl"
	Restricted = "restricted-space.stl"
)

// Result is what is written.
type Result struct {
	Scene               *scene.Scene
	Report              *reach.Report
	Figure              drawing.ReachFigure
	Maximum, Restricted *solid.Mesh // nil where they are not shown
	Title               drawing.Title
}

//go:embed page.html
var pageHTML string

var page = report.Page("reach", pageHTML)

// Write fills the folder dir, which must exist. The same result gives the same
// bytes.
func Write(dir string, r *Result) error {
	for _, s := range []struct {
		file, what string
		mesh       *solid.Mesh
	}{{Maximum, "maximum space", r.Maximum}, {Restricted, "restricted space", r.Restricted}} {
		if s.mesh == nil {
			continue
		}
		if err := mesh.WriteCubes(filepath.Join(dir, s.file), s.what+" of the arm: "+r.Scene.Cell, *s.mesh); err != nil {
			return err
		}
	}
	sheets, err := drawing.ReachSheets(r.Scene, &r.Figure, r.Title)
	if err != nil {
		return err
	}
	if err := drawing.Write(dir, sheets, r.Title); err != nil {
		return err
	}
	inline, err := report.Inline(sheets)
	if err != nil {
		return err
	}
	c := contentOf(r.Report)
	c.Heading, c.Number, c.Sheets = caution.Heading, r.Title.Number, inline
	if err := written(filepath.Join(dir, PageFile), func(f *os.File) error { return page.Execute(f, c) }); err != nil {
		return err
	}
	return written(filepath.Join(dir, JSONFile), func(f *os.File) error { return r.Report.WriteJSON(f) })
}

func written(path string, write func(*os.File) error) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := write(f); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

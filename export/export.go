// Package export writes what a person or a controller takes from a scene: STL,
// the thinned cloud, drawings and the report. Nothing reads these back.
package export

import (
	"errors"
	"fmt"
	"sync"

	"cellwall/export/cloud"
	"cellwall/export/drawing"
	"cellwall/export/drawing/paper"
	"cellwall/export/mesh"
	"cellwall/export/report"
	"cellwall/mapping"
	"cellwall/scene"
)

// Map is all that is written of a cell.
type Map struct {
	Scene *scene.Scene
	Cloud *mapping.Cloud // nil: no cloud.ply
	Title drawing.Title
	Other []report.File // files that the caller puts into the folder, for the report to name
}

// Write fills the folder dir, which must exist, with scene.stl, solids/,
// unseen.stl, cloud.ply, drawings/ and report.html. The same map gives the same bytes. On
// an error some of the files may be missing or cut short.
func Write(dir string, m Map) error {
	var pages []*paper.Page
	if err := together(
		func() error { return named("STL", mesh.Write(dir, m.Scene)) },
		func() error { return named("unseen space", mesh.WriteUnseen(dir, m.Scene)) },
		func() error { return named("cloud", writeCloud(dir, m)) },
		func() (err error) {
			pages, err = drawing.Sheets(m.Scene, m.Title)
			return named("drawings", err)
		},
	); err != nil {
		return err
	}
	return together(
		func() error { return named("drawings", drawing.Write(dir, pages, m.Title)) },
		func() error { return named("report", report.Write(dir, m.Scene, m.Title.Number, pages, m.Other)) },
	)
}

func writeCloud(dir string, m Map) error {
	if m.Cloud == nil {
		return nil
	}
	return cloud.Write(dir, m.Cloud, m.Scene)
}

// together runs the steps at once and returns all their errors.
func together(steps ...func() error) error {
	errs := make([]error, len(steps))
	var all sync.WaitGroup
	for i, step := range steps {
		all.Go(func() { errs[i] = step() })
	}
	all.Wait()
	return errors.Join(errs...)
}

func named(what string, err error) error {
	if err != nil {
		return fmt.Errorf("writing the %s: %w", what, err)
	}
	return nil
}

// Package report writes the map as one page to read and print: first what to
// mind, then what was found, how sure it is, and what was not found.
package report

import (
	"bytes"
	_ "embed"
	"os"
	"path/filepath"

	"cellwall/export/caution"
	"cellwall/export/drawing/paper"
	"cellwall/scene"
)

// FileName is the name of what Write makes.
const FileName = "report.html"

// File is a file of the map folder that the report names.
type File struct{ Name, What string }

//go:embed page.html
var pageHTML string

var page = Page("report", pageHTML)

// Write puts dir/report.html: one page that needs nothing beside it, with the
// drawings in it and the map's number, where it has one, at its head. The files
// of other are listed after those that package export writes itself.
func Write(dir string, s *scene.Scene, number string, drawings []*paper.Page, other []File) error {
	sheets, err := Inline(drawings)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := page.Execute(&b, content{
		Cell: s.Cell, Number: number, Heading: caution.Heading, Cautions: caution.Sentences,
		Summary: summary(s), Vises: vises(s), Objects: objects(s), Refused: refused(s),
		Measures: measures(s), Surfaces: surfaces(s), Parts: hasParts(s), Margin: margin(s), Agreement: agreement(s), Points: points(s.Points), Space: volumes(s),
		Sheets: sheets, Files: files(s, other),
	}); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, FileName), b.Bytes(), 0o644)
}

// content is what the page shows.
type content struct {
	Cell, Number string
	Heading      string
	Cautions     []string
	Summary      string
	Vises        []viseBox
	Objects      []objectRow
	Refused      []refusedRow
	Measures     []measureRow
	Margin       string
	Surfaces     []surfaceRow
	Parts        bool // some surface is a part without a name
	Agreement    []agreementRow
	Points       pointTable
	Space        []volumeRow
	Sheets       []Sheet
	Files        []File
}

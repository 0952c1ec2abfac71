package reachsheet

import (
	"bytes"
	"context"
	"encoding/xml"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/export/caution"
	"cellwall/export/drawing"
	"cellwall/fit"
	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/reach"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// result is the whole reach of an arm of one joint, which carries a ball round a
// circle of 1 m, beside a block whose name must not become markup.
func result(t *testing.T) *Result {
	t.Helper()
	a := &arm.Arm{Joints: []arm.Joint{{A: 1000, D: 500, Min: -math.Pi, Max: math.Pi}}, Capsules: []arm.Capsule{{Frame: 1, Radius: 50}}}
	s := &scene.Scene{Cell: "a <b>cell</b> & co", Objects: []scene.Object{{Object: fit.Object{Name: "block<1>", Kind: fit.Block}, Margin: 20,
		Solids: []solid.Solid{solid.Box{Box: geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1300, Z: 500}}, Size: r3.Vec{X: 100, Y: 100, Z: 100}}}}}}}
	c, err := reach.NewChecker(a, s)
	if err != nil {
		t.Fatal(err)
	}
	found, err := c.Whole(context.Background(), c.Limits())
	if err != nil {
		t.Fatal(err)
	}
	e, err := c.Extent(context.Background(), c.Limits())
	if err != nil {
		t.Fatal(err)
	}
	r := &Result{Scene: s, Report: c.NewReport(s.Cell, caution.Sentences), Title: drawing.Title{Number: "ab12"}}
	r.Report.TakeWhole(c, c.Limits(), found)
	r.Report.TakeSpace(e, nil)
	m := e.Solid()
	r.Maximum, r.Figure.Limits = &m, e
	for _, v := range drawing.ReachViews(s) {
		r.Figure.Maximum = append(r.Figure.Maximum, e.Outline(v))
	}
	return r
}

func folderOf(t *testing.T, r *Result) (dir string, page []byte) {
	t.Helper()
	dir = t.TempDir()
	if err := Write(dir, r); err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(filepath.Join(dir, PageFile))
	if err != nil {
		t.Fatal(err)
	}
	return dir, page
}

// The page is XML as well as HTML, names are escaped, the cautions come first, and
// all files are there, the same every time.
func TestTheFolderIsWhole(t *testing.T) {
	dir, page := folderOf(t, result(t))
	d := xml.NewDecoder(bytes.NewReader(page))
	for {
		if _, err := d.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	text := string(page)
	for _, want := range append([]string{"block&lt;1&gt;", "&lt;b&gt;cell", "maximum", "number ab12", "ISO 10218-2", ">no<"}, caution.Sentences...) {
		if !strings.Contains(text, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if strings.Index(text, caution.Sentences[0]) > strings.Index(text, `id="objects"`) {
		t.Error("the cautions do not come first")
	}
	for _, name := range []string{JSONFile, Maximum, "drawings/plan.svg", "drawings/drawings.pdf"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			t.Error(err)
		}
	}
	if _, err := os.Stat(filepath.Join(dir, Restricted)); err == nil {
		t.Error("there is a restricted space where nothing was restricted")
	}
	if _, again := folderOf(t, result(t)); !bytes.Equal(page, again) {
		t.Error("the page differs from run to run")
	}
}

package cell

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"cellwall/mapping/cell/strict"
	"cellwall/mapping/fault"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Where cell.yaml says nothing.
const (
	defaultMargin = 20 // mm
	defaultBehind = 50
	defaultVoxel  = 40
)

// What a ray may mean that gives no return.
const (
	tellsNothing   = "unknown"
	nothingInRange = "nothing-in-range"
)

// nearMount is how near to the flange's origin no scanner fits, mm.
const nearMount = 2

// What a mount is taken to be good to where its accuracy is not stated, one sigma
// along and about each axis: half of the 0.3 mm and 0.03 degrees, two sigma, to
// which a mount is worth solving and beyond which `mount` names a direction as
// told roughly.
const (
	usualMountShift = 0.15
	usualMountTurn  = 0.015 * degree
)

// fileName is the one file that every cell folder has.
const fileName = "cell.yaml"

// Open reads and checks cell.yaml in the folder dir and the robot that it names.
// The files of points and motions must exist; they are not read. Every error is
// a *fault.Error with the line and the remedy.
func Open(dir string) (*Cell, error) {
	r := reader{cell: &Cell{Dir: dir}}
	doc, err := r.parse(fileName)
	if err != nil {
		return nil, err
	}
	r.doc = doc
	if err := doc.Into(&r.file); err != nil {
		return nil, err
	}
	for _, step := range []func() error{r.head, r.scanner, r.scans, r.objects, r.scene, r.targets, r.ignore, r.robot, r.restricted, r.parts} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return r.cell, nil
}

// Path is where the file lies that the cell names as name.
func (c *Cell) Path(name string) string {
	if name = filepath.FromSlash(name); filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(c.Dir, name)
}

// reader turns cell.yaml into a Cell, key by key.
type reader struct {
	cell *Cell
	file cellFile
	doc  *strict.Doc
}

// parse reads a YAML file of the folder.
func (r *reader) parse(name string) (*strict.Doc, error) {
	path := r.cell.Path(name)
	text, err := os.ReadFile(path)
	if err != nil {
		f := fault.OfOpening(path, err)
		if info, no := os.Stat(r.cell.Dir); no == nil && !info.IsDir() {
			f.File, f.Rule, f.Remedy = r.cell.Dir, "it is a file", "name the folder that holds "+fileName
		} else if os.IsNotExist(err) && name == fileName {
			f.Remedy = "name the folder that holds " + fileName
		}
		return nil, f
	}
	r.note(name)
	return strict.Parse(path, text)
}

// tell leaves a remark for the user, who should know but need do nothing.
func (r *reader) tell(format string, args ...any) {
	r.cell.Remarks = append(r.cell.Remarks, fmt.Sprintf(format, args...))
}

// note keeps the name of a file for the record, once.
func (r *reader) note(name string) {
	if !slices.Contains(r.cell.Files, name) {
		r.cell.Files = append(r.cell.Files, name)
	}
}

// head checks the format and the name.
func (r *reader) head() error {
	if r.file.Format != cellFormat {
		return r.doc.Fault("format", fmt.Sprintf("the format %q is not known", r.file.Format), "write "+cellFormat)
	}
	r.cell.Name = r.file.Name
	return checkName(r.doc, "name", r.file.Name)
}

// scanner takes the sensor, in mm, s and rad.
func (r *reader) scanner() error {
	s := &r.cell.Scanner
	s.FlangeFromScanner, s.Range = geom.Identity(), [2]float64{0, math.Inf(1)}
	f := r.file.Scanner
	if f == nil {
		return nil
	}
	if f.Mount != nil {
		s.FlangeFromScanner = pose(f.Mount.XYZ, f.Mount.RPY)
		if d := r3.Norm(s.FlangeFromScanner.T); d > 0 && d < nearMount {
			r.tell("%s: scanner.mount.xyz_mm puts the scanner %.3g mm from the flange: if these are metres, write millimetres", fileName, d)
		}
	}
	s.MountShift, s.MountTurn = usualMountShift, usualMountTurn
	if f.Sure != nil {
		s.MountShift, s.MountTurn = f.Sure.Shift, f.Sure.Turn*degree
	}
	s.Eye, s.Latency = vec(f.Eye), f.Latency/1000
	s.Noise, s.Fan = orElse(f.Noise, 0), orElse(f.Fan, 0)*degree
	if f.Range != nil {
		s.Range = *f.Range
	}
	s.NothingInRange = f.Silent == nothingInRange
	switch {
	case f.Silent != "" && f.Silent != nothingInRange && f.Silent != tellsNothing:
		return r.doc.Fault("scanner.no_return", fmt.Sprintf("%q is not known", f.Silent), "write "+tellsNothing+", or "+nothingInRange+" where the scanner means that by giving no return")
	case s.NothingInRange && f.Range == nil:
		return r.doc.Fault("scanner.no_return", "in which range there is nothing is not told", "add range_mm: [LEAST, GREATEST]")
	case !(s.Range[0] >= 0 && s.Range[0] < s.Range[1]):
		return r.doc.Fault("scanner.range_mm", fmt.Sprintf("%g to %g is not a range", s.Range[0], s.Range[1]), "write the least distance, 0 or more, then the greatest")
	case s.MountShift < 0 || s.MountTurn < 0:
		return r.doc.Fault("scanner.mount_accuracy", "an accuracy is not below 0", "write one sigma along and about each axis, or take the key away")
	case f.Noise != nil && s.Noise <= 0:
		return r.doc.Fault("scanner.noise_mm", "the noise must be above 0", "write one sigma at 1 m, or take the key away to have it estimated")
	case f.Fan != nil && !(*f.Fan > 0 && *f.Fan <= 360):
		return r.doc.Fault("scanner.fan_deg", "the angle must be above 0 and at most 360", "write the full angle of the laser line, or take the key away")
	}
	if s.NothingInRange {
		r.tell("%s: scanner.no_return: where the scanner gives no return, space counts as clear from %g to %g mm: "+
			"dark, mirror-like and grazing surfaces give none either", fileName, s.Range[0], s.Range[1])
	}
	return nil
}

// scene takes how the scene is built.
func (r *reader) scene() error {
	f := r.file.Scene
	if f == nil {
		f = &sceneFile{}
	}
	r.cell.Scene = Scene{
		Margin:      orElse(f.Margin, defaultMargin),
		Behind:      orElse(f.Behind, defaultBehind),
		UnseenVoxel: orElse(f.UnseenVoxel, defaultVoxel),
	}
	r.cell.Scene.LeastObstacle = orElse(f.Least, r.cell.Scene.UnseenVoxel)
	switch {
	case r.cell.Scene.Margin < 0:
		return r.doc.Fault("scene.margin_mm", "the margin is negative", "write 0 or more: solids only grow")
	case r.cell.Scene.Behind <= 0:
		return r.doc.Fault("scene.behind_mm", "the thickness must be above 0", "write how thick a wall is taken to be")
	case r.cell.Scene.UnseenVoxel <= 0:
		return r.doc.Fault("scene.unseen_voxel_mm", "the edge must be above 0", "write the edge of a voxel")
	case !(r.cell.Scene.LeastObstacle > 0 && r.cell.Scene.LeastObstacle <= r.cell.Scene.UnseenVoxel):
		return r.doc.Fault("scene.least_obstacle_mm", fmt.Sprintf("%g is not above 0 and up to unseen_voxel_mm", r.cell.Scene.LeastObstacle), "write how thick an obstacle is at least that clear space must not hide, or take the key away")
	}
	return nil
}

// exists checks that the file that the key at path names is there, and notes it.
func (r *reader) exists(path, name string) error {
	info, err := os.Stat(r.cell.Path(name))
	switch {
	case err == nil && !info.Mode().IsRegular():
		return r.doc.Fault(path, fmt.Sprintf("%q is not a file", name), "write the path of a file, relative to the cell folder")
	case err == nil:
		r.note(name)
		if !filepath.IsLocal(filepath.FromSlash(name)) {
			r.tell("%s: %q lies outside the cell folder: take it along when the folder moves", path, name)
		}
		return nil
	case os.IsNotExist(err) && strings.Contains(name, `\`):
		return r.doc.Fault(path, fmt.Sprintf("file %q does not exist", name), "write / between folders and files")
	case os.IsNotExist(err):
		return r.doc.Fault(path, fmt.Sprintf("file %q does not exist", name), "put it there, or correct the path, which is relative to the cell folder")
	}
	f := r.doc.Fault(path, fmt.Sprintf("file %q cannot be reached", name), "check the path")
	f.Cause = err
	return f
}

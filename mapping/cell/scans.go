package cell

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
)

// units are the words for a length, in mm.
var units = map[string]float64{"mm": 1, "m": 1000, "in": 25.4}

// scans takes every scan, in its order.
func (r *reader) scans() error {
	if len(r.file.Scans) == 0 {
		return r.doc.Fault("scans", "the list is empty", "name at least one scan")
	}
	used := names{}
	for i, f := range r.file.Scans {
		at := fmt.Sprintf("scans[%d]", i)
		if err := used.take(r.doc, at+".name", f.Name); err != nil {
			return err
		}
		s := Scan{Name: f.Name, Points: f.Points, Motion: f.Motion, Line: r.doc.Line(at)}
		if err := r.placing(at, f, &s); err != nil {
			return err
		}
		if err := r.unit(at, f, &s); err != nil {
			return err
		}
		if err := r.exists(at+".points", f.Points); err != nil {
			return err
		}
		if f.Motion != "" {
			if err := r.exists(at+".motion", f.Motion); err != nil {
				return err
			}
		}
		r.cell.Scans = append(r.cell.Scans, s)
	}
	return nil
}

// placing checks that the scan has a motion or a fixed pose.
func (r *reader) placing(at string, f scanFile, s *Scan) error {
	moves := r.doc.Line(at+".motion") > 0
	switch {
	case moves && f.Placed != nil:
		return r.doc.Fault(at+".placed", "the scan has a motion and a fixed pose", "keep one of motion and placed")
	case !moves && f.Placed == nil:
		return r.doc.Fault(at, "the scan has neither a motion nor a fixed pose", "add motion: FILE, or placed: {xyz_mm: [x, y, z], rpy_deg: [r, p, y]}")
	case moves && f.Motion == "":
		return r.doc.Fault(at+".motion", "the path is empty", "write the path relative to the cell folder")
	case moves && f.Origin != nil:
		return r.doc.Fault(at+".origin_mm", "a scan with a motion has its rays start at the scanner's eye", "take the key away and write scanner.eye_mm")
	case moves && f.Rough != nil:
		return r.doc.Fault(at+".rough", "a scan with a motion is placed by the arm", "take the key away; it belongs to a scan that is placed")
	case moves && (r.file.Scanner == nil || r.file.Scanner.Mount == nil):
		return r.doc.Fault("scanner.mount", fmt.Sprintf("the key is missing, and the scan %q has a motion", f.Name), "add mount: {xyz_mm: [x, y, z], rpy_deg: [r, p, y]}, the scanner in the flange's frame")
	case moves:
		return nil
	}
	placed := pose(f.Placed.XYZ, f.Placed.RPY)
	s.BaseFromScan = &placed
	if f.Origin != nil {
		s.Origin = vec(*f.Origin)
	}
	return r.rough(at, f, s)
}

// rough takes by how much a still scan's pose may be off. Such a scan is placed
// against those that are not rough.
func (r *reader) rough(at string, f scanFile, s *Scan) error {
	if f.Rough == nil {
		return nil
	}
	s.Rough = &Rough{Shift: f.Rough.Shift, Turn: f.Rough.Turn * degree}
	switch {
	case !(s.Rough.Shift > 0 && s.Rough.Shift <= mostRoughShift):
		return r.doc.Fault(at+".rough.shift_mm", fmt.Sprintf("%g is not a distance above 0 and up to %d", s.Rough.Shift, mostRoughShift), "write by how much the place may be off at most, and measure it where it may be more")
	case !(f.Rough.Turn > 0 && f.Rough.Turn <= mostRoughTurn):
		return r.doc.Fault(at+".rough.turn_deg", fmt.Sprintf("%g is not an angle above 0 and up to %d", f.Rough.Turn, mostRoughTurn), "write by how much the attitude may be off at most")
	case !slices.ContainsFunc(r.file.Scans, func(o scanFile) bool { return o.Rough == nil }):
		return r.doc.Fault(at+".rough", "every scan is rough, and none is left to place them against", "add a scan by the arm, or take rough away from the one that is placed best")
	}
	return nil
}

// A search further than these would take minutes.
const (
	mostRoughShift = 1000 // mm
	mostRoughTurn  = 180  // deg
)

// unit finds how many mm the file's unit has. E57 is in metres, always (ASTM
// E2807).
func (r *reader) unit(at string, f scanFile, s *Scan) error {
	s.Unit = 1
	e57 := strings.EqualFold(filepath.Ext(f.Points), ".e57")
	if e57 {
		s.Unit = units["m"]
	}
	if r.doc.Line(at+".units") == 0 {
		return nil
	}
	mm, known := units[f.Units]
	switch {
	case !known:
		return r.doc.Fault(at+".units", fmt.Sprintf("the unit %q is not known", f.Units), "write mm, m or in")
	case e57 && mm != s.Unit:
		return r.doc.Fault(at+".units", "an E57 file is in metres", "write m, or take the key away")
	}
	s.Unit = mm
	return nil
}

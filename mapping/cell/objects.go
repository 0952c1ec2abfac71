package cell

import (
	"fmt"
	"slices"
	"strings"

	"cellwall/mapping/geom"
)

var (
	kinds  = []string{"floor", "wall", "ceiling", "table", "enclosure", "vise", "post", "block", "shape"}
	sides  = []string{"near", "far", "left", "right"}
	shapes = []string{"sphere", "plane"}
)

// objects takes what is expected.
func (r *reader) objects() error {
	used := names{}
	for i, f := range r.file.Objects {
		at := fmt.Sprintf("objects[%d]", i)
		if err := used.take(r.doc, at+".name", f.Name); err != nil {
			return err
		}
		if !slices.Contains(kinds, f.Kind) {
			return r.doc.Fault(at+".kind", fmt.Sprintf("the kind %q is not known", f.Kind), "write "+anyOf(kinds))
		}
		if err := r.inside(at, f); err != nil {
			return err
		}
		if err := r.jaws(at, f); err != nil {
			return err
		}
		model, err := r.model(at, f)
		if err != nil {
			return err
		}
		w := Wanted{Name: f.Name, Kind: f.Kind, Inside: f.Inside, FixedJaw: f.FixedJaw, Model: model, Line: r.doc.Line(at),
			JawWidth: orElse(f.JawWidth, 0), JawHeight: orElse(f.JawHeight, 0), JawDepth: orElse(f.JawDepth, 0)}
		if f.Near != nil {
			near := vec(*f.Near)
			w.Near = &near
		}
		r.cell.Wanted = append(r.cell.Wanted, w)
	}
	return nil
}

// inside must name an enclosure.
func (r *reader) inside(at string, f objectFile) error {
	if r.doc.Line(at+".inside") == 0 {
		return nil
	}
	isIt := func(o objectFile) bool { return o.Name == f.Inside && o.Kind == "enclosure" && o.Name != f.Name }
	if slices.ContainsFunc(r.file.Objects, isIt) {
		return nil
	}
	return r.doc.Fault(at+".inside", fmt.Sprintf("no other object %q of kind enclosure is in the list", f.Inside), "write the name of an enclosure in objects")
}

// jaws checks the keys that only a vise has.
func (r *reader) jaws(at string, f objectFile) error {
	for _, key := range []string{"jaw_width_mm", "jaw_height_mm", "jaw_depth_mm", "fixed_jaw"} {
		if f.Kind != "vise" && r.doc.Line(at+"."+key) > 0 {
			return r.doc.Fault(at+"."+key, fmt.Sprintf("a %s has no jaws", f.Kind), "take the key away, or write kind: vise")
		}
	}
	for _, size := range []struct {
		key string
		mm  *float64
	}{{"jaw_width_mm", f.JawWidth}, {"jaw_height_mm", f.JawHeight}, {"jaw_depth_mm", f.JawDepth}} {
		if size.mm != nil && *size.mm <= 0 {
			return r.doc.Fault(at+"."+size.key, "the size must be above 0", "write it, or take the key away")
		}
	}
	if r.doc.Line(at+".fixed_jaw") > 0 && !slices.Contains(sides, f.FixedJaw) {
		return r.doc.Fault(at+".fixed_jaw", fmt.Sprintf("the side %q is not known", f.FixedJaw), "write "+anyOf(sides)+", seen from the enclosure's front")
	}
	return nil
}

// targets takes the shapes that the mount may be solved from.
func (r *reader) targets() error {
	used := names{}
	for i, f := range r.file.Targets {
		at := fmt.Sprintf("targets[%d]", i)
		if err := used.take(r.doc, at+".name", f.Name); err != nil {
			return err
		}
		switch {
		case !slices.Contains(shapes, f.Shape):
			return r.doc.Fault(at+".shape", fmt.Sprintf("the shape %q is not known", f.Shape), "write "+anyOf(shapes))
		case f.Shape == "sphere" && (f.Radius == nil || *f.Radius <= 0):
			return r.doc.Fault(at+".radius_mm", "a sphere needs a radius above 0", "add radius_mm")
		case f.Shape != "sphere" && f.Radius != nil:
			return r.doc.Fault(at+".radius_mm", fmt.Sprintf("a %s has no radius", f.Shape), "take the key away")
		case len(f.Scans) == 0:
			return r.doc.Fault(at+".scans", "the list is empty", "name the scans that saw the target")
		}
		for k, name := range f.Scans {
			if !slices.ContainsFunc(r.cell.Scans, func(s Scan) bool { return s.Name == name }) {
				return r.doc.Fault(fmt.Sprintf("%s.scans[%d]", at, k), fmt.Sprintf("no scan is called %q", name), "write the name of one of the scans")
			}
		}
		r.cell.Targets = append(r.cell.Targets, Target{Name: f.Name, Shape: f.Shape, Radius: orElse(f.Radius, 0), Scans: f.Scans})
	}
	return nil
}

// ignore takes the boxes whose points are dropped.
func (r *reader) ignore() error {
	used := names{}
	for i, f := range r.file.Ignore {
		at := fmt.Sprintf("ignore[%d]", i)
		if err := used.take(r.doc, at+".name", f.Name); err != nil {
			return err
		}
		if min(f.Size[0], f.Size[1], f.Size[2]) <= 0 {
			return r.doc.Fault(at+".size_mm", "every size must be above 0", "write the box's full edges along its own x, y and z")
		}
		r.cell.Ignore = append(r.cell.Ignore, Ignore{Name: f.Name, Box: geom.Box{Pose: pose(f.XYZ, f.RPY), Size: vec(f.Size)}})
	}
	return nil
}

// anyOf lists words for a remedy.
func anyOf(words []string) string {
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

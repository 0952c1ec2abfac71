// Package links writes a scene as what robot programs call a model: one link an
// object, fixed to the link "base", in URDF or in SDF. Lengths are metres. A
// link's frame is its object's datum. Boxes and cylinders stay what they are;
// prisms and hulls, for which neither format has a shape that all its readers
// understand alike, are STL files beside the model.
package links

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/xml"
	"fmt"
	"strings"

	"cellwall/export/extent"
	"cellwall/export/mesh"
	"cellwall/mapping/geom"
	"cellwall/scene"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// File is a mesh that a model refers to; Name is relative to the model's own
// folder, with slashes.
type File struct {
	Name string
	Data []byte
}

// Base is the link that stands for the robot's base frame.
const Base = "base"

// link is an object ready to be spelled, in mm.
type link struct {
	name         string
	baseFromLink geom.Pose
	shapes       []shape
}

// shape is one solid in its link: of box, cylinder and mesh one is set.
type shape struct {
	name          string
	linkFromShape geom.Pose
	box           *solid.Box
	cylinder      *solid.Cylinder
	mesh          string // name of a File
}

// model turns the scene into links; its meshes go into the folder named.
func model(s *scene.Scene, e extent.Extent, folder string) ([]link, []File, error) {
	var files []File
	links := make([]link, len(s.Objects))
	for i, name := range names(s) {
		o := &s.Objects[i]
		l := link{name: name, baseFromLink: extent.Datum(o)}
		for k, x := range o.Solids {
			sh, file, err := l.shape(x, e.Margin(o), fmt.Sprintf("%s-%d", name, k+1), folder)
			if err != nil {
				return nil, nil, fmt.Errorf("object %q: solid %d: %w", o.Name, k+1, err)
			}
			l.shapes = append(l.shapes, sh)
			if file != nil {
				files = append(files, *file)
			}
		}
		links[i] = l
	}
	return links, files, nil
}

// names of the links, in the order of the objects: as files may be called, for
// spaces and slashes part names in many programs. SDF keeps double underscores
// and the name "world" to itself.
func names(s *scene.Scene) []string {
	wanted := []string{Base, "world"}
	for i := range s.Objects {
		wanted = append(wanted, strings.ReplaceAll(s.Objects[i].Name, "__", "-"))
	}
	return mesh.FileNames(wanted)[2:]
}

// title of the model, which neither format lets be empty.
func title(s *scene.Scene) string { return cmp.Or(s.Cell, "cell") }

func (l *link) shape(x solid.Solid, margin float64, name, folder string) (shape, *File, error) {
	linkFromBase := l.baseFromLink.Inverse()
	switch x := x.(type) {
	case solid.Box:
		x.Box = x.Grown(margin)
		return shape{name: name, linkFromShape: linkFromBase.Mul(x.Pose), box: &x}, nil, nil
	case solid.Cylinder:
		x.Radius, x.Height = x.Radius+margin, x.Height+2*margin
		upright := geom.Pose{R: geom.Plane{Normal: x.Axis}.Frame(r3.Vec{}).R, T: x.Centre}
		return shape{name: name, linkFromShape: linkFromBase.Mul(upright), cylinder: &x}, nil, nil
	}
	f, err := mesh.Round(mesh.Moved(x.Mesh(margin), linkFromBase, mesh.Metre))
	if err != nil {
		return shape{}, nil, err
	}
	var stl bytes.Buffer
	if err := f.WriteSTL(&stl, "m, frame of link "+l.name); err != nil {
		return shape{}, nil, err
	}
	file := &File{Name: fmt.Sprintf("%s/%s-%s.stl", folder, name, fingerprint(stl.Bytes())), Data: stl.Bytes()}
	return shape{name: name, linkFromShape: geom.Identity(), mesh: file.Name}, file, nil
}

// fingerprint of a file's content in its name: a file of that name never needs
// to change, so a model that stands already never loses its meshes to a new one.
func fingerprint(data []byte) string { return fmt.Sprintf("%x", sha256.Sum256(data))[:12] }

// comment heads a model's file.
func comment(s *scene.Scene, e extent.Extent) xml.Comment {
	text := fmt.Sprintf(" cell %q, written by cellwall %s; metres, radians, base frame; %s; a link's frame is its object's datum ",
		s.Cell, scene.Version, e.Note())
	return xml.Comment(strings.ReplaceAll(text, "--", "- -")) // two hyphens would end it
}

// encode spells a document with its comment in front.
func encode(head xml.Comment, root any) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString(xml.Header)
	enc := xml.NewEncoder(&b)
	enc.Indent("", "  ")
	if err := enc.EncodeToken(head); err != nil {
		return nil, err
	}
	if err := enc.Encode(root); err != nil {
		return nil, err
	}
	b.WriteByte('\n')
	return b.Bytes(), nil
}

// Package glb writes a scene as binary glTF 2.0 (ISO/IEC 12113): one named node
// an object, whose extras hold the evidence. Lengths are metres and Y is up, as
// the format demands: the root node turns base, Z up, into that, so that every
// node below it is placed in base.
package glb

import (
	"fmt"
	"io"
	"math"

	"cellwall/export/caution"
	"cellwall/export/evidence"
	"cellwall/export/extent"
	"cellwall/export/mesh"
	"cellwall/scene"
	"cellwall/scene/solid"

	"github.com/qmuntal/gltf"
	"github.com/qmuntal/gltf/modeler"
)

// Write writes the scene, its solids in the given extent. A node's translation
// and rotation are its object's datum in base; a primitive is one convex solid.
// The same scene gives the same bytes. It fails where a solid has no sound
// surface in single precision, naming the object.
func Write(w io.Writer, s *scene.Scene, e extent.Extent) error {
	d := &document{Document: gltf.NewDocument(), materials: map[string]int{}}
	d.Asset.Generator = "cellwall " + scene.Version
	root := &gltf.Node{Name: s.Cell, Rotation: upright, Extras: rootExtras(s, e)}
	d.Nodes = []*gltf.Node{root}
	d.Scenes[0].Nodes = []int{0}
	for i := range s.Objects {
		if err := d.object(s, &s.Objects[i], e); err != nil {
			return fmt.Errorf("object %q: %w", s.Objects[i].Name, err)
		}
		root.Children = append(root.Children, i+1)
	}
	return gltf.NewEncoder(w).Encode(d.Document)
}

// upright turns Z up into Y up: -90 degrees about X, as x, y, z, w.
var upright = [4]float64{-math.Sqrt2 / 2, 0, 0, math.Sqrt2 / 2}

// rootExtras tell what the whole file is.
func rootExtras(s *scene.Scene, e extent.Extent) map[string]any {
	missing := []map[string]string{}
	for _, r := range s.NotLocated {
		missing = append(missing, map[string]string{
			"name": r.Name, "kind": string(r.Kind), "reason": r.Reason, "scan_next": r.ScanNext,
		})
	}
	return map[string]any{
		"cell": s.Cell, "frame": "base below this node, metres", "solids": e.String(), "note": e.Note(),
		"not_located": missing, "cautions": caution.Sentences,
	}
}

// document gathers nodes and meshes; materials are shared by kind.
type document struct {
	*gltf.Document
	materials map[string]int
}

func (d *document) object(s *scene.Scene, o *scene.Object, e extent.Extent) error {
	datum := extent.Datum(o)
	q := datum.R.Quat()
	node := &gltf.Node{
		Name:        o.Name,
		Translation: [3]float64{datum.T.X * mesh.Metre, datum.T.Y * mesh.Metre, datum.T.Z * mesh.Metre},
		Rotation:    [4]float64{q[1], q[2], q[3], q[0]},
		Extras:      evidence.Of(s, o),
	}
	d.Nodes = append(d.Nodes, node)
	if len(o.Solids) == 0 {
		return nil
	}
	shape := &gltf.Mesh{Name: o.Name}
	material := d.material(string(o.Kind))
	for i, x := range o.Solids {
		p, err := d.primitive(mesh.Moved(x.Mesh(e.Margin(o)), datum.Inverse(), mesh.Metre))
		if err != nil {
			return fmt.Errorf("solid %d: %w", i+1, err)
		}
		p.Material = gltf.Index(material)
		shape.Primitives = append(shape.Primitives, p)
	}
	node.Mesh = gltf.Index(len(d.Meshes))
	d.Meshes = append(d.Meshes, shape)
	return nil
}

// primitive stores one solid. It has no normals: then a viewer shades every
// facet flat (glTF 2.0, 3.7.2.1), as these are.
func (d *document) primitive(m solid.Mesh) (*gltf.Primitive, error) {
	f, err := mesh.Round(m)
	if err != nil {
		return nil, err
	}
	at := make([][3]float32, len(f.Vertices))
	for i, v := range f.Vertices {
		at[i] = v
	}
	corners := make([]uint32, 0, 3*len(f.Faces))
	for _, t := range f.Faces {
		corners = append(corners, uint32(t[0]), uint32(t[1]), uint32(t[2]))
	}
	return &gltf.Primitive{
		Attributes: gltf.PrimitiveAttributes{gltf.POSITION: modeler.WritePosition(d.Document, at)},
		Indices:    gltf.Index(modeler.WriteIndices(d.Document, corners)),
	}, nil
}

// material of a kind of object, made when first asked for.
func (d *document) material(kind string) int {
	if i, ok := d.materials[kind]; ok {
		return i
	}
	c, ok := colours[kind]
	if !ok {
		c = grey
	}
	i := len(d.Materials)
	d.materials[kind] = i
	d.Materials = append(d.Materials, &gltf.Material{Name: kind, PBRMetallicRoughness: &gltf.PBRMetallicRoughness{
		BaseColorFactor: &c, MetallicFactor: gltf.Float(0), RoughnessFactor: gltf.Float(1),
	}})
	return i
}

// Colours of Okabe and Ito, which colour-blind readers can tell apart, for what
// stands in the cell; what bounds it is grey. The names say the same.
var (
	grey    = [4]float64{0.6, 0.6, 0.6, 1}
	colours = map[string][4]float64{
		"vise":      linear(0xD5, 0x5E, 0x00),
		"enclosure": linear(0x56, 0xB4, 0xE9),
		"table":     linear(0x00, 0x9E, 0x73),
		"post":      linear(0xE6, 0x9F, 0x00),
		"block":     linear(0xF0, 0xE4, 0x42),
		"shape":     linear(0x00, 0x72, 0xB2),
		"remainder": linear(0xCC, 0x79, 0xA7),
	}
)

// linear is a colour given in sRGB as glTF wants it (IEC 61966-2-1).
func linear(r, g, b uint8) [4]float64 {
	c := [4]float64{3: 1}
	for i, v := range [3]uint8{r, g, b} {
		x := float64(v) / 255
		if x <= 0.04045 {
			c[i] = x / 12.92
		} else {
			c[i] = math.Pow((x+0.055)/1.055, 2.4)
		}
	}
	return c
}

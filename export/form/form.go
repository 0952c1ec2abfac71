// Package form knows the open formats in which a scene can be written beside its
// own, and writes them whole or not at all.
package form

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"cellwall/export/dxf"
	"cellwall/export/extent"
	"cellwall/export/glb"
	"cellwall/export/links"
	"cellwall/export/obj"
	"cellwall/export/step"
	"cellwall/export/table"
	"cellwall/scene"
)

// Form is one format.
type Form struct {
	Name   string
	Suffix string        // of its files
	What   string        // it is, in a few words
	Usual  extent.Extent // in which its solids are written unless told otherwise
	render renderer
}

// renderer spells a scene: the file itself and the meshes beside it, which are
// in the folder named.
type renderer func(s *scene.Scene, e extent.Extent, folder string) ([]byte, []links.File, error)

// All are the formats. Those that a planner loads are usually written with
// margins, as scene.stl is; those that a person measures in, without.
var All = []Form{
	{"gltf", ".glb", "binary glTF 2.0: a node an object, evidence in its extras; m, Y up", extent.Grown, single(glb.Write)},
	{"urdf", ".urdf", "robot description: a fixed link an object; m, meshes beside it", extent.Grown, links.URDF},
	{"sdf", ".sdf", "simulation description: a static model, a link an object; m, meshes beside it", extent.Grown, links.SDF},
	{"obj", ".obj", "OBJ: a group an object; mm", extent.Grown, single(obj.Write)},
	{"step", ".step", "STEP (ISO 10303-214): a part an object, exact solids; mm", extent.Fitted, single(step.Write)},
	{"dxf", ".dxf", "plan as DXF: a layer an object; mm", extent.Fitted, single(dxf.Write)},
	{"csv", ".csv", "table: a row an object with pose, sigmas and size; mm, degrees", extent.Fitted, single(table.Write)},
}

// single is the renderer of a format that has all in one file.
func single(write func(io.Writer, *scene.Scene, extent.Extent) error) renderer {
	return func(s *scene.Scene, e extent.Extent, _ string) ([]byte, []links.File, error) {
		var b bytes.Buffer
		err := write(&b, s, e)
		return b.Bytes(), nil, err
	}
}

// Find returns the format of a name, or of a suffix with or without its dot.
func Find(name string) (Form, error) {
	var names []string
	for _, f := range All {
		if name == f.Name || name != "" && "."+strings.TrimPrefix(name, ".") == f.Suffix {
			return f, nil
		}
		names = append(names, f.Name)
	}
	if name == "" {
		return Form{}, fmt.Errorf("no format is named; name one of %s", strings.Join(names, ", "))
	}
	return Form{}, fmt.Errorf("the format %q is not known; it is one of %s", name, strings.Join(names, ", "))
}

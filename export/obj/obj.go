// Package obj writes a scene as a Wavefront OBJ file: one group an object, in mm
// in the base frame, Z up. The format itself knows no units, so a comment says
// them.
package obj

import (
	"bufio"
	"fmt"
	"io"
	"strconv"

	"cellwall/export/extent"
	"cellwall/export/mesh"
	"cellwall/scene"
)

// Write writes the scene, its solids in the given extent. Objects without solids
// are left out. Groups are called as an object's STL file is. It fails where a
// solid has no sound surface in single precision, naming the object.
func Write(w io.Writer, s *scene.Scene, e extent.Extent) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "# cell %q, written by cellwall %s\n", s.Cell, scene.Version)
	fmt.Fprintf(b, "# units: mm; base frame, Z up\n# %s\n", e.Note())
	names := make([]string, len(s.Objects))
	for i := range s.Objects {
		names[i] = s.Objects[i].Name
	}
	first := 1 // the format counts vertices from 1, through the whole file
	for i, group := range mesh.FileNames(names) {
		o := &s.Objects[i]
		if len(o.Solids) == 0 {
			continue
		}
		fmt.Fprintf(b, "\n# %s %q, margin %g mm\ng %s\n", o.Kind, o.Name, e.Margin(o), group)
		for k, x := range o.Solids {
			f, err := mesh.Round(x.Mesh(e.Margin(o)))
			if err != nil {
				return fmt.Errorf("object %q: solid %d: %w", o.Name, k+1, err)
			}
			first = facets(b, f, first)
		}
	}
	return b.Flush()
}

// facets writes one solid, whose vertices are counted from first, and returns
// the next one's first.
func facets(w io.Writer, f mesh.Facets, first int) int {
	for _, v := range f.Vertices {
		fmt.Fprintf(w, "v %s %s %s\n", single(v[0]), single(v[1]), single(v[2]))
	}
	for _, t := range f.Faces {
		fmt.Fprintf(w, "f %d %d %d\n", first+int(t[0]), first+int(t[1]), first+int(t[2]))
	}
	return first + len(f.Vertices)
}

// single spells a number so that reading it in single precision gives it back.
func single(v float32) string { return strconv.FormatFloat(float64(v), 'f', -1, 32) }

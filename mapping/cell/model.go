package cell

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"strings"

	"cellwall/mapping/fault"
	"cellwall/mapping/geom"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	mostModelBytes = 64 << 20 // some 1.3 million facets, far beyond what a fit can use
	mostFacets     = 200_000
	// An STL has no units. What is smaller than a nut or larger than a hall is in
	// others than mm.
	leastModel, mostModel = 5.0, 20_000.0 // mm
	weld                  = 1e-3          // mm: corners nearer to each other are one
	headBytes, facetBytes = 84, 50        // of a binary STL
)

// model checks the keys of a shape, and reads its STL.
func (r *reader) model(at string, f objectFile) ([]geom.Triangle, error) {
	given := r.doc.Line(at+".model") > 0
	switch {
	case f.Kind != "shape" && given:
		return nil, r.doc.Fault(at+".model", fmt.Sprintf("a %s is not located by a model", f.Kind), "take the key away, or write kind: shape")
	case f.Kind != "shape":
		return nil, nil
	case !given || f.Model == "":
		return nil, r.doc.Fault(at+".model", "a shape is located by its model", "write the path of an STL file in mm")
	}
	if err := r.exists(at+".model", f.Model); err != nil {
		return nil, err
	}
	return readModel(r.cell.Path(f.Model))
}

// readModel reads a closed STL whose facets look outward.
func readModel(path string) ([]geom.Triangle, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, fault.OfOpening(path, err)
	}
	wrong := func(rule, remedy string) error { return &fault.Error{File: path, Rule: rule, Remedy: remedy} }
	switch {
	case len(text) > mostModelBytes:
		return nil, wrong(fmt.Sprintf("it has %d MB", len(text)>>20), "export it coarser: a tolerance of 0.05 mm is enough")
	case isBinarySTL(text):
		clear(text[:headBytes-4]) // a comment, which must not be taken for the beginning of an ASCII one
	case !bytes.HasPrefix(text, []byte("solid")) || !bytes.Contains(text, []byte("endsolid")):
		return nil, wrong("it is no STL, or is cut short", "export the model again, as STL in mm")
	}
	solid, err := stl.ReadAll(bytes.NewReader(text))
	if err != nil {
		return nil, &fault.Error{File: path, Rule: "it cannot be read as STL: " + firstLine(err), Remedy: "export the model again, as STL in mm", Cause: err}
	}
	model, size, rule := facetsOf(solid)
	switch {
	case rule != "":
		return nil, wrong(rule, "export the model again")
	case len(model) > mostFacets:
		return nil, wrong(fmt.Sprintf("it has %d facets, more than %d", len(model), mostFacets), "export it coarser: a tolerance of 0.05 mm is enough")
	case size < leastModel || size > mostModel:
		return nil, wrong(fmt.Sprintf("the model is %.3g mm large", size), "export it in mm")
	}
	if open := openEdges(model); open > 0 {
		return nil, wrong(fmt.Sprintf("the model is not closed: %d edges have a facet on one side only", open), "repair it, and export it as one closed solid")
	}
	if volume(model) <= 0 {
		return nil, wrong("its facets look inward", "turn their normals round, and export it again")
	}
	return model, nil
}

// firstLine of an error that may list every line of the file.
func firstLine(err error) string {
	line, _, _ := strings.Cut(err.Error(), "\n")
	return line[:min(len(line), 120)]
}

// facetsOf are the facets that have an area, the diagonal of the box round them,
// and the rule that they break.
func facetsOf(solid *stl.Solid) (model []geom.Triangle, size float64, rule string) {
	b := geom.NoBounds()
	for i := range solid.Triangles {
		var t geom.Triangle
		for k, v := range solid.Triangles[i].Vertices {
			t[k] = welded(v)
			b.Extend(t[k])
		}
		if area := t.Area(); math.IsNaN(area) || math.IsInf(area, 0) {
			return nil, 0, fmt.Sprintf("facet %d has a corner that is not finite", i+1)
		} else if area > 0 {
			model = append(model, t)
		}
	}
	if len(model) == 0 {
		return nil, 0, "it has no facet"
	}
	return model, r3.Norm(r3.Sub(b.Max, b.Min)), ""
}

// isBinarySTL tells whether the bytes are as many as a binary STL's header says.
func isBinarySTL(text []byte) bool {
	return len(text) >= headBytes &&
		int64(len(text)) == headBytes+facetBytes*int64(binary.LittleEndian.Uint32(text[headBytes-4:headBytes]))
}

func welded(v stl.Vec3) r3.Vec {
	to := func(x float32) float64 { return math.Round(float64(x)/weld) * weld }
	return r3.Vec{X: to(v[0]), Y: to(v[1]), Z: to(v[2])}
}

// openEdges counts the edges that are not passed as often one way as the other.
func openEdges(model []geom.Triangle) int {
	type edge [2]r3.Vec
	passed := map[edge]int{}
	for _, t := range model {
		for k := range t {
			from, to := t[k], t[(k+1)%3]
			if less(from, to) {
				passed[edge{from, to}]++
			} else {
				passed[edge{to, from}]--
			}
		}
	}
	open := 0
	for _, n := range passed {
		if n != 0 {
			open++
		}
	}
	return open
}

func less(a, b r3.Vec) bool {
	switch {
	case a.X != b.X:
		return a.X < b.X
	case a.Y != b.Y:
		return a.Y < b.Y
	}
	return a.Z < b.Z
}

// volume by the divergence theorem, mm^3; negative where the facets look inward.
func volume(model []geom.Triangle) float64 {
	var v float64
	for _, t := range model {
		v += r3.Dot(t[0], r3.Cross(t[1], t[2])) / 6
	}
	return v
}

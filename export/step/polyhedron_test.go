package step

import (
	"fmt"
	"strings"
	"testing"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// solids of plane faces, with how many corners, edges and faces each has.
func solids(t *testing.T) map[string]polyhedron {
	t.Helper()
	p, err := solid.NewPrism([]r3.Vec{{}, {X: 100}, {X: 120, Y: 60}, {X: 50, Y: 110}, {X: -20, Y: 60}}, r3.Vec{Z: -1}, 40)
	if err != nil {
		t.Fatal(err)
	}
	h, err := solid.NewHull([]r3.Vec{{}, {X: 100}, {Y: 100}, {Z: 100}})
	if err != nil {
		t.Fatal(err)
	}
	cube, err := solid.NewHull(solid.Box{Box: geom.Box{Pose: geom.Identity(), Size: r3.Vec{X: 10, Y: 20, Z: 30}}}.Mesh(0).Vertices)
	if err != nil {
		t.Fatal(err)
	}
	return map[string]polyhedron{
		" 8 12 6": facets(cube.Mesh(0)), // twelve triangles, two a face
		"8 12 6":  box(geom.Box{Pose: geom.Identity(), Size: r3.Vec{X: 1, Y: 2, Z: 3}}),
		"10 15 7": prism(p),
		"4 6 4":   facets(h.Mesh(0)),
	}
}

// Euler's formula and closure: every edge belongs to two faces that run along it
// in opposite senses, and every face looks outward.
func TestShellsAreClosedAndLookOutward(t *testing.T) {
	for counts, p := range solids(t) {
		owner := map[[2]int]bool{}
		var middle r3.Vec
		for _, c := range p.corners {
			middle = r3.Add(middle, r3.Scale(1/float64(len(p.corners)), c))
		}
		b := builder{polyhedron: p}
		for _, ring := range p.faces {
			for k, i := range ring {
				e := [2]int{i, ring[(k+1)%len(ring)]}
				if owner[e] {
					t.Errorf("%s: two faces run along %v", counts, e)
				}
				owner[e] = true
			}
			if r3.Dot(b.normal(ring), r3.Sub(p.corners[ring[0]], middle)) <= 0 {
				t.Errorf("%s: face %v looks inward", counts, ring)
			}
		}
		for e := range owner {
			if !owner[[2]int{e[1], e[0]}] {
				t.Errorf("%s: edge %v is open", counts, e)
			}
		}
		if v, e, f := len(p.corners), len(owner)/2, len(p.faces); v-e+f != 2 || fmt.Sprint(v, e, f) != strings.TrimSpace(counts) {
			t.Errorf("%s: %d corners, %d edges, %d faces", counts, v, e, f)
		}
	}
}

// Neighbours share corners and edges: a kernel sews nothing.
func TestShellWritesEachCornerAndEdgeOnce(t *testing.T) {
	f := &file{}
	f.shell(box(geom.Box{Pose: geom.Identity(), Size: r3.Vec{X: 1, Y: 2, Z: 3}}))
	all := strings.Join(f.instances, "\n")
	for kind, want := range map[string]int{"VERTEX_POINT": 8, "\nEDGE_CURVE": 12, "ORIENTED_EDGE": 24, "ADVANCED_FACE": 6, "CLOSED_SHELL": 1} {
		if got := strings.Count(all, kind); got != want {
			t.Errorf("%d of %s, want %d", got, kind, want)
		}
	}
}

package cell

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cellwall/mapping/fault"
	"cellwall/mapping/geom"

	"github.com/hschendel/stl"
)

// tetrahedron of Tonon, J. Math. Stat. 1 (2005) 8, whose volume is 1873.2332,
// times scale; its facets look outward unless flipped.
func tetrahedron(scale float32, flipped bool) *stl.Solid {
	p := [4]stl.Vec3{{8.3322, -11.86875, .93355}, {.75523, 5, 16.37072}, {52.61236, 5, -5.3858}, {2, 5, 3}}
	for i := range p {
		for k := range p[i] {
			p[i][k] *= scale
		}
	}
	s := &stl.Solid{}
	for _, f := range [4][3]int{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {0, 3, 2}} {
		if flipped {
			f[1], f[2] = f[2], f[1]
		}
		s.AppendTriangle(stl.Triangle{Vertices: [3]stl.Vec3{p[f[0]], p[f[1]], p[f[2]]}})
	}
	return s
}

func written(t testing.TB, s *stl.Solid, ascii bool) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "model.stl")
	s.IsAscii = ascii
	if err := s.WriteFile(path); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestModelIsReadBothWays(t *testing.T) {
	for _, ascii := range []bool{false, true} {
		m, err := readModel(written(t, tetrahedron(1, false), ascii))
		if err != nil {
			t.Fatal(err)
		}
		if v := volume(m); len(m) != 4 || math.Abs(v-1873.2332) > 0.1 {
			t.Errorf("%d facets, volume %.3f", len(m), v)
		}
	}
	s := tetrahedron(1, false)
	s.BinaryHeader = append([]byte("solid as some programs begin a binary one"), make([]byte, 39)...)
	if _, err := readModel(written(t, s, false)); err != nil {
		t.Errorf("a binary one that begins with solid: %v", err)
	}
}

func TestFaultsOfAModel(t *testing.T) {
	open := tetrahedron(1, false)
	open.Triangles = open.Triangles[:3]
	infinite := tetrahedron(1, false)
	infinite.Triangles[1].Vertices[2][0] = float32(math.Inf(1))
	for says, s := range map[string]*stl.Solid{
		"the model is not closed: 3 edges":            open,
		"facet 2 has a corner that is not finite":     infinite,
		"its facets look inward":                      tetrahedron(1, true),
		"the model is 0.0586 mm large; export it in ": tetrahedron(0.001, false),
		"it has no facet":                             {},
	} {
		_, err := readModel(written(t, s, false))
		wantModelFault(t, err, says)
	}
	for says, text := range map[string]string{
		"it is no STL, or is cut short": "PK\x03\x04",
		"it cannot be read as STL":      "solid a\nfacet normal 0 0 x\nendsolid a\n",
	} {
		path := filepath.Join(t.TempDir(), "model.stl")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		_, err := readModel(path)
		wantModelFault(t, err, says)
	}
}

func wantModelFault(t *testing.T, err error, words string) {
	t.Helper()
	var f *fault.Error
	if !errors.As(err, &f) || !strings.Contains(f.Error(), words) || !strings.HasSuffix(f.File, "model.stl") || f.Remedy == "" {
		t.Errorf("got  %v\nwant %s", err, words)
	}
}

func TestCellHasItsModel(t *testing.T) {
	dir := folder(t, strings.Replace(fullCell, "kind: table", "kind: shape, model: part.stl", 1), fullRobot)
	if err := tetrahedron(1, false).WriteFile(filepath.Join(dir, "part.stl")); err != nil {
		t.Fatal(err)
	}
	c, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if w := c.Wanted[2]; w.Kind != "shape" || len(w.Model) != 4 {
		t.Errorf("%s has a model of %d facets", w.Kind, len(w.Model))
	}
	if !strings.Contains(fmt.Sprint(c.Files), "part.stl") {
		t.Errorf("the model is not among the files of the record: %v", c.Files)
	}
}

func FuzzModel(f *testing.F) {
	text := func(s *stl.Solid, ascii bool) []byte {
		b, err := os.ReadFile(written(f, s, ascii))
		if err != nil {
			f.Fatal(err)
		}
		return b
	}
	f.Add(text(tetrahedron(1, false), false))
	f.Add(text(tetrahedron(1, false), true))
	f.Add([]byte("solid\nfacet\nouter loop\nvertex 1 2\nendsolid"))
	path := filepath.Join(f.TempDir(), "model.stl")
	f.Fuzz(func(t *testing.T, b []byte) {
		if err := os.WriteFile(path, b, 0o644); err != nil {
			t.Fatal(err)
		}
		m, err := readModel(path)
		var bad *fault.Error
		if err != nil && (!errors.As(err, &bad) || bad.Remedy == "") || err == nil && openEdges(m) != 0 {
			t.Fatalf("%v, %d facets", err, len(m))
		}
		for _, x := range m {
			if n := x.Normal(); n != n || x == (geom.Triangle{}) {
				t.Fatalf("a facet without a normal: %v", x)
			}
		}
	})
}

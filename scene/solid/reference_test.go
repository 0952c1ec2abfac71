//go:build reference

package solid

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"
)

func needs(t *testing.T, tool, pkg string) {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		t.Skipf("%s is absent: install Debian's %s", tool, pkg)
	}
}

// number that follows the label in a tool's output.
func number(t *testing.T, out, label string) float64 {
	t.Helper()
	m := regexp.MustCompile(label + `\s*:\s*(\S+)`).FindStringSubmatch(out)
	if m == nil {
		t.Fatalf("no %q in:\n%s", label, out)
	}
	v, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// qhull runs Qhull 2020.2 on the points: its vertices, triangles and volume.
func qhull(t *testing.T, points []r3.Vec) (vertices, triangles int, area, volume float64) {
	t.Helper()
	var in bytes.Buffer
	fmt.Fprintf(&in, "3\n%d\n", len(points))
	for _, p := range points {
		fmt.Fprintf(&in, "%.17g %.17g %.17g\n", p.X, p.Y, p.Z)
	}
	cmd := exec.Command("qconvex", "s", "Qt", "FA")
	cmd.Stdin = &in
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("qconvex: %v\n%s", err, out)
	}
	s := string(out)
	return int(number(t, s, "Number of vertices")), int(number(t, s, "Number of facets")),
		number(t, s, "(?:Total|Approximate) facet area"), number(t, s, "(?:Total|Approximate) volume")
}

func TestHullsEqualQhulls(t *testing.T) {
	needs(t, "qconvex", "qhull-bin")
	r := rand.New(rand.NewPCG(11, 11))
	for i := range 60 {
		var points []r3.Vec
		scale := logUniform(r, 30, 3000)
		for range 4 + r.IntN(2000) {
			p := randomVec(r, scale)
			if i%2 == 0 {
				p = r3.Scale(scale, r3.Unit(p))
			}
			points = append(points, r3.Scale(step, rounded(r3.Scale(1/step, p))))
		}
		h := mustHull(t, points)
		vertices, triangles, _, volume := qhull(t, points)
		if len(h.Vertices()) != vertices || len(h.Mesh(0).Faces) != triangles {
			t.Errorf("%d points: %d vertices and %d triangles, Qhull has %d and %d", len(points), len(h.Vertices()), len(h.Mesh(0).Faces), vertices, triangles)
		}
		if math.Abs(h.Volume()/volume-1) > 1e-7 { // it prints eight digits
			t.Errorf("volume %.12g, Qhull has %.12g", h.Volume(), volume)
		}
	}
}

// On degenerate input the two may keep different corners of one and the same
// body: the volumes may differ by a few lattice steps over the surface.
func TestDegenerateHullsEqualQhulls(t *testing.T) {
	needs(t, "qconvex", "qhull-bin")
	r := rand.New(rand.NewPCG(12, 12))
	compared := 0
	for range 60 {
		points := nearlyDegenerate(r)
		h, err := NewHull(points)
		if err != nil {
			continue
		}
		_, _, area, volume := qhull(t, points)
		if d := math.Abs(h.Volume() - volume); d > 3*step*area {
			t.Errorf("volume %g, Qhull has %g: %g steps on a surface of %g", h.Volume(), volume, d/area/step, area)
		}
		compared++
	}
	if compared < 40 {
		t.Errorf("only %d hulls compared", compared)
	}
}

// TestMeshesPassAdmesh holds every mesh as an STL file, thus in single
// precision, against admesh 0.98: closed, one part, nothing to repair, volume.
func TestMeshesPassAdmesh(t *testing.T) {
	needs(t, "admesh", "admesh")
	r := rand.New(rand.NewPCG(13, 13))
	file := filepath.Join(t.TempDir(), "solid.stl")
	for range 150 {
		s := randomSolid(t, r)
		for _, margin := range []float64{0, 20} {
			m := s.Mesh(margin)
			writeSTL(t, file, m)
			out, err := exec.Command("admesh", file).CombinedOutput()
			if err != nil {
				t.Fatalf("admesh: %v\n%s", err, out)
			}
			text := string(out)
			for _, label := range []string{"Total disconnected facets", "Degenerate facets", "Facets removed", "Facets added", "Facets reversed", "Edges fixed", "Backwards edges", "Normals fixed"} {
				for _, l := range strings.Split(text, "\n") {
					if strings.Contains(l, label) && !regexp.MustCompile(`:\s*0(\s+0)?\s*$`).MatchString(l) {
						t.Fatalf("%T grown by %g, %d facets: %s", s, margin, len(m.Faces), l)
					}
				}
			}
			if parts := number(t, text, "Number of parts"); parts != 1 {
				t.Fatalf("%T: %g parts", s, parts)
			}
			area := 0.0
			for i := range m.Faces {
				area += r3.Norm(m.cross(int32(i))) / 2
			}
			if v := number(t, text, "Volume"); math.Abs(v-m.Volume()) > 2*Resolution*area {
				t.Fatalf("%T: admesh has volume %g, we %g", s, v, m.Volume())
			}
		}
	}
}

func writeSTL(t *testing.T, file string, m Mesh) {
	t.Helper()
	var s stl.Solid
	s.SetName("solid")
	s.SetBinaryHeader(make([]byte, 80))
	for i, f := range m.Faces {
		n := r3.Unit(m.cross(int32(i)))
		tri := stl.Triangle{Normal: stl.Vec3{float32(n.X), float32(n.Y), float32(n.Z)}}
		for k, v := range f {
			p := m.Vertices[v]
			tri.Vertices[k] = stl.Vec3{float32(p.X), float32(p.Y), float32(p.Z)}
		}
		s.AppendTriangle(tri)
	}
	if err := s.WriteFile(file); err != nil {
		t.Fatal(err)
	}
}

package mesh

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"
)

// box is a box of the given size, turned and off the origin.
func box(size r3.Vec) solid.Box {
	at := geom.Pose{R: geom.RotFromRPY(0.1, -0.2, 0.3), T: r3.Vec{X: 1500, Y: -700, Z: 300}}
	return solid.Box{Box: geom.Box{Pose: at, Size: size}}
}

func TestRoundKeepsASoundMesh(t *testing.T) {
	b := box(r3.Vec{X: 300, Y: 200, Z: 100})
	f, err := Round(b.Mesh(20))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Vertices) != 8 || len(f.Faces) != 12 {
		t.Errorf("%d vertices and %d facets, want a box's 8 and 12", len(f.Vertices), len(f.Faces))
	}
	if want := b.Grown(20).Volume(); math.Abs(f.Volume()-want) > 1e-6*want {
		t.Errorf("volume %g, want %g", f.Volume(), want)
	}
}

// Tonon, J. Math. Stat. 1 (2005) 8: the tetrahedron and its volume.
func TestVolumeOfPublishedTetrahedron(t *testing.T) {
	f, err := Round(tetrahedron())
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Volume(); math.Abs(got-1873.2332) > 1e-3 {
		t.Errorf("volume %.4f, want 1873.2332", got)
	}
}

func tetrahedron() solid.Mesh {
	return solid.Mesh{
		Vertices: []r3.Vec{
			{X: 8.3322, Y: -11.86875, Z: .93355}, {X: .75523, Y: 5, Z: 16.37072},
			{X: 52.61236, Y: 5, Z: -5.3858}, {X: 2, Y: 5, Z: 3},
		},
		Faces: [][3]int32{{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}},
	}
}

// bipyramid is a double pyramid over n points of a circle, of which some lie so
// near to the next that single precision at 9 m cannot tell them apart.
func bipyramid(n int, rng *rand.Rand) solid.Mesh {
	c := r3.Vec{X: 9000, Y: -9000, Z: 100}
	m := solid.Mesh{Vertices: []r3.Vec{r3.Add(c, r3.Vec{Z: 80}), r3.Add(c, r3.Vec{Z: -80})}}
	angle := 0.0
	for range n {
		step := 2 * math.Pi / float64(n)
		if rng.IntN(3) == 0 {
			step = 1e-6 // 0.1 um on a radius of 100 mm
		}
		angle += step
		s, co := math.Sincos(angle)
		m.Vertices = append(m.Vertices, r3.Add(c, r3.Vec{X: 100 * co, Y: 100 * s}))
	}
	for i := range int32(n) {
		a, b := 2+i, 2+(i+1)%int32(n)
		m.Faces = append(m.Faces, [3]int32{0, a, b}, [3]int32{1, b, a})
	}
	return m
}

func TestRoundWeldsWhatSinglePrecisionCannotTellApart(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		m := bipyramid(24, rng)
		f, err := Round(m)
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Vertices) >= len(m.Vertices) {
			t.Fatalf("%d of %d vertices left: nothing was welded", len(f.Vertices), len(m.Vertices))
		}
		if v := m.Volume(); math.Abs(f.Volume()-v) > 1e-3*v {
			t.Errorf("volume %g, want %g", f.Volume(), v)
		}
	}
}

// A box with a corner in the middle of an edge: the fan that closes the side has
// a triangle without area.
func TestRoundTurnsACap(t *testing.T) {
	m := solid.Mesh{
		Vertices: []r3.Vec{
			{}, {X: 50}, {X: 100}, {X: 100, Y: 100}, {Y: 100}, // 1 lies between 0 and 2
			{Z: 100}, {X: 50, Z: 100}, {X: 100, Z: 100}, {X: 100, Y: 100, Z: 100}, {Y: 100, Z: 100},
		},
		Faces: [][3]int32{
			{0, 2, 1}, {0, 3, 2}, {0, 4, 3}, {5, 6, 7}, {5, 7, 8}, {5, 8, 9},
			{0, 1, 6}, {0, 6, 5}, {1, 2, 7}, {1, 7, 6}, {2, 3, 8}, {2, 8, 7}, {3, 4, 9}, {3, 9, 8}, {4, 0, 5}, {4, 5, 9},
		},
	}
	f, err := Round(m)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Faces) != len(m.Faces) || f.Volume() != 1e6 {
		t.Errorf("%d facets of volume %g, want %d of 1e6", len(f.Faces), f.Volume(), len(m.Faces))
	}
	for _, face := range f.Faces {
		if a := r3.Norm(f.twiceArea(face)); a < 1 {
			t.Errorf("facet %v has area %g", face, a/2)
		}
	}
}

func TestRoundRefuses(t *testing.T) {
	sound := box(r3.Vec{X: 300, Y: 200, Z: 100}).Mesh(0)
	with := func(change func(*solid.Mesh)) solid.Mesh {
		m := solid.Mesh{Vertices: append([]r3.Vec(nil), sound.Vertices...), Faces: append([][3]int32(nil), sound.Faces...)}
		change(&m)
		return m
	}
	for want, m := range map[string]solid.Mesh{
		"not closed":    with(func(m *solid.Mesh) { m.Faces = m.Faces[1:] }),
		"more than two": with(func(m *solid.Mesh) { m.Faces = append(m.Faces, m.Faces[0]) }),
		"inside out": with(func(m *solid.Mesh) {
			for i, f := range m.Faces {
				m.Faces[i] = [3]int32{f[0], f[2], f[1]}
			}
		}),
		"volume":     box(r3.Vec{X: 300, Y: 200, Z: 1e-9}).Mesh(0),
		"not finite": with(func(m *solid.Mesh) { m.Vertices[3].Y = math.NaN() }),
		"vertex 8":   with(func(m *solid.Mesh) { m.Faces[0][0] = 8 }),
	} {
		want = strings.Replace(want, "not finite", "not a finite", 1)
		if _, err := Round(m); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want an error that says %q", err, want)
		}
	}
}

// The library's own check, written by others, must find nothing.
func TestRoundStandsTheLibrarysValidation(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	f, err := Round(bipyramid(40, rng))
	if err != nil {
		t.Fatal(err)
	}
	s := stl.Solid{Triangles: f.triangles()}
	if faults := s.Validate(); len(faults) > 0 {
		t.Errorf("%d faulty facets", len(faults))
	}
}

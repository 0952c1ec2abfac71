package solid

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func mustHull(t *testing.T, points []r3.Vec) *Hull {
	t.Helper()
	h, err := NewHull(points)
	if err != nil {
		t.Fatal(err)
	}
	checkClosed(t, h.Mesh(0))
	checkConvex(t, h.Mesh(0))
	return h
}

// Tonon, J. Math. Stat. 1 (2005) 8: a tetrahedron's volume and centroid.
func TestTononTetrahedron(t *testing.T) {
	h := mustHull(t, []r3.Vec{{X: 8.3322, Y: -11.86875, Z: .93355}, {X: .75523, Y: 5, Z: 16.37072}, {X: 52.61236, Y: 5, Z: -5.3858}, {X: 2, Y: 5, Z: 3}})
	if v := h.Volume(); math.Abs(v-1873.2332) > 0.2 { // a lattice step on a surface of 2400 mm^2
		t.Errorf("volume %g, want 1873.2332", v)
	}
	if d := r3.Norm(r3.Sub(h.Mesh(0).Centroid(), r3.Vec{X: 15.92492, Y: .78281, Z: 3.72962})); d > 1e-3 {
		t.Errorf("centroid off by %g", d)
	}
}

func grid(n int, pose geom.Pose, pitch float64) []r3.Vec {
	var p []r3.Vec
	for i := range n {
		for j := range n {
			for k := range n {
				p = append(p, pose.Apply(r3.Scale(pitch, r3.Vec{X: float64(i), Y: float64(j), Z: float64(k)})))
			}
		}
	}
	return p
}

func onSphere(r *rand.Rand, n int, radius float64) []r3.Vec {
	p := make([]r3.Vec, n)
	for i := range p {
		p[i] = r3.Scale(radius, r3.Unit(randomVec(r, 1)))
	}
	return p
}

// Counts as Qhull 2020.2 gives them: a cube has 8 vertices and 12 triangles,
// `rbox d` 6 vertices, 8 facets and volume 1/6, 100 points on a sphere
// 2V - 4 = 196 triangles.
func TestCountsOfQhull(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	octahedron := []r3.Vec{{X: 500}, {X: -500}, {Y: 500}, {Y: -500}, {Z: 500}, {Z: -500}}
	turned := geom.Pose{R: geom.Exp(r3.Vec{X: .3, Y: -1, Z: .7}), T: r3.Vec{X: 812.3, Y: -90.7, Z: 33}}
	for _, c := range []struct {
		name            string
		points          []r3.Vec
		vertices, faces int
		volume          float64
	}{
		{"cube", grid(2, geom.Identity(), 100), 8, 12, 1e6},
		{"cube, turned", grid(2, turned, 100), 8, 12, 1e6},
		{"cube of 1000 grid points", grid(10, geom.Identity(), 100./9), 8, 12, 1e6},
		{"cube of 1000 grid points, turned", grid(10, turned, 100./9), 8, 12, 1e6},
		{"octahedron", octahedron, 6, 8, 1e9 / 6},
		{"every point twice", append(octahedron, octahedron...), 6, 8, 1e9 / 6},
		{"sphere", onSphere(r, 100, 1000), 100, 196, 0},
	} {
		h := mustHull(t, c.points)
		if v, f := len(h.Vertices()), len(h.Mesh(0).Faces); v != c.vertices || f != c.faces {
			t.Errorf("%s: %d vertices and %d triangles, want %d and %d", c.name, v, f, c.vertices, c.faces)
		}
		if c.volume > 0 && math.Abs(h.Volume()/c.volume-1) > 1e-4 {
			t.Errorf("%s: volume %g, want %g", c.name, h.Volume(), c.volume)
		}
	}
}

// nearlyDegenerate draws what breaks hulls in floating point: grids, points
// jittered about a plane, needles, dense caps, cocircular rings.
func nearlyDegenerate(r *rand.Rand) []r3.Vec {
	pose := randomPose(r)
	var p []r3.Vec
	n := 10 + r.IntN(300)
	switch kind := r.IntN(6); kind {
	case 0:
		p = grid(2+r.IntN(6), pose, logUniform(r, 0.01, 300))
	case 1: // a plate no thicker than a few lattice steps
		for range n {
			p = append(p, pose.Apply(r3.Vec{X: 900 * r.Float64(), Y: 400 * r.Float64(), Z: 0.01 * r.Float64()}))
		}
	case 2: // a needle
		for range n {
			p = append(p, pose.Apply(r3.Vec{X: 2000 * r.Float64(), Y: 0.01 * r.NormFloat64(), Z: 0.01 * r.NormFloat64()}))
		}
	case 3: // a dense ball of the size of a few hundred steps
		p = onSphere(r, n*2, 0.5)
	case 4: // two rings, all points of each in one plane and on one circle
		for i := range n {
			s, c := math.Sincos(float64(i) / float64(n) * 2 * math.Pi)
			p = append(p, pose.Apply(r3.Vec{X: 150 * c, Y: 150 * s}), pose.Apply(r3.Vec{X: 150 * c, Y: 150 * s, Z: 700}))
		}
	case 5: // a box's faces with noise about the lattice step
		for range n {
			q := r3.Vec{X: math.Round(r.Float64()) * 500, Y: 300 * r.Float64(), Z: 200 * r.Float64()}
			p = append(p, pose.Apply(r3.Add(q, randomVec(r, 5e-4))))
		}
	}
	return p
}

func TestHullOfNearlyDegeneratePoints(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	flat := 0
	for range 50 {
		points := nearlyDegenerate(r)
		h, err := NewHull(points)
		if errors.Is(err, ErrFlat) {
			flat++
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range []Mesh{h.Mesh(0), h.Mesh(20)} {
			checkClosed(t, m)
			checkConvex(t, m)
		}
		faces := facesOf(h.Mesh(0))
		for _, p := range points {
			if !h.Contains(p, 0) {
				t.Fatal("a point is outside its own hull")
			}
			if d := faces.depth(p); d > 6*step {
				t.Fatalf("a point stands %g lattice steps out of the mesh", d/step)
			}
		}
	}
	if flat > 10 {
		t.Errorf("%d of 50 sets were called flat", flat)
	}
}

func TestHullRefuses(t *testing.T) {
	plane := []r3.Vec{{}, {X: 1000}, {Y: 1000}, {X: 1000, Y: 1000}, {X: 300, Y: 200, Z: 1e-3}}
	line := []r3.Vec{{}, {X: 1, Y: 1, Z: 1}, {X: 2, Y: 2, Z: 2}, {X: 9, Y: 9, Z: 9}, {X: -4, Y: -4, Z: -4}}
	for _, p := range [][]r3.Vec{nil, {{X: 1}}, plane, line} {
		if _, err := NewHull(p); !errors.Is(err, ErrFlat) {
			t.Errorf("%d points: %v, want ErrFlat", len(p), err)
		}
	}
	for _, c := range []struct {
		bad  float64
		says string
	}{{math.NaN(), "not finite"}, {math.Inf(-1), "not finite"}, {1e9, "spans"}} {
		if _, err := NewHull(append(grid(2, geom.Identity(), 10), r3.Vec{Y: c.bad})); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%g: %v, want %q", c.bad, err, c.says)
		}
	}
}

// 10 000 points in a moment, on a sphere as the worst case: all are corners.
func TestHullIsFast(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	points := onSphere(r, 10_000, 1000)
	begin := time.Now()
	h, err := NewHull(points)
	if err != nil {
		t.Fatal(err)
	}
	took := time.Since(begin)
	t.Logf("%d vertices in %v", len(h.Vertices()), took)
	if took > 30*time.Second { // a hull that is quadratic in points takes minutes
		t.Errorf("took %v", took)
	}
}

func BenchmarkHull(b *testing.B) {
	r := rand.New(rand.NewPCG(8, 8))
	sphere := onSphere(r, 10_000, 1000)
	cloud := make([]r3.Vec, 10_000)
	for i := range cloud {
		cloud[i] = randomVec(r, 100)
	}
	for name, points := range map[string][]r3.Vec{"sphere": sphere, "cloud": cloud} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := NewHull(points); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// checkClosed holds the mesh against what a closed, oriented surface is: every
// edge is used once in each direction, and Euler's formula gives a sphere.
func checkClosed(t *testing.T, m Mesh) {
	t.Helper()
	edges := make(map[[2]int32]int)
	for _, f := range m.Faces {
		for k := range 3 {
			edges[[2]int32{f[k], f[(k+1)%3]}]++
		}
	}
	for e, n := range edges {
		if n != 1 || edges[[2]int32{e[1], e[0]}] != 1 {
			t.Fatalf("edge %v is used %d times one way and %d times the other", e, n, edges[[2]int32{e[1], e[0]}])
		}
	}
	if euler := len(m.Vertices) - len(edges)/2 + len(m.Faces); euler != 2 {
		t.Fatalf("V - E + F = %d, want 2", euler)
	}
}

// checkConvex finds no vertex in front of any face and no degenerate face. With
// all faces seen from inside as counter-clockwise, volume would be negative.
func checkConvex(t *testing.T, m Mesh) {
	t.Helper()
	for i := range m.Faces {
		n := m.cross(int32(i))
		a := m.Vertices[m.Faces[i][0]]
		longest := 0.0
		for k := range 3 {
			longest = max(longest, r3.Norm(r3.Sub(m.Vertices[m.Faces[i][k]], m.Vertices[m.Faces[i][(k+1)%3]])))
		}
		if thin := r3.Norm(n) / longest; !(thin > Resolution) {
			t.Fatalf("face %d is %g mm thin", i, thin)
		}
		n = r3.Unit(n)
		for _, v := range m.Vertices {
			if d := r3.Dot(n, r3.Sub(v, a)); d > 5e-3 {
				t.Fatalf("a vertex stands %g mm in front of face %d", d, i)
			}
		}
	}
	if m.Volume() <= 0 {
		t.Fatalf("volume %g: inside out", m.Volume())
	}
}

func randomVec(r *rand.Rand, scale float64) r3.Vec {
	return r3.Scale(scale, r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
}

func randomPose(r *rand.Rand) geom.Pose {
	return geom.Pose{R: geom.Exp(randomVec(r, 2)), T: randomVec(r, 2000)}
}

func logUniform(r *rand.Rand, lo, hi float64) float64 {
	return lo * math.Pow(hi/lo, r.Float64())
}

// randomSolid draws one of each kind, from 2 mm to 3 m, flat and long ones
// among them.
func randomSolid(t *testing.T, r *rand.Rand) Solid {
	size := func() float64 { return logUniform(r, 2, 3000) }
	pose := randomPose(r)
	switch r.IntN(4) {
	case 0:
		return Box{geom.Box{Pose: pose, Size: r3.Vec{X: size(), Y: size(), Z: size()}}}
	case 1:
		return Cylinder{Centre: pose.T, Axis: pose.R.Axis(2), Radius: size() / 2, Height: size()}
	case 2:
		var ring []r3.Vec
		a, b, n := size()/2, size()/2, 3+r.IntN(6)
		for i := range n {
			s, c := math.Sincos((float64(i) + 0.8*r.Float64()) / float64(n) * 2 * math.Pi)
			ring = append(ring, pose.Apply(r3.Vec{X: a * c, Y: b * s}))
		}
		p, err := NewPrism(ring, pose.R.Axis(2), size())
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	var points []r3.Vec
	scale := r3.Vec{X: size() / 4, Y: size() / 4, Z: size() / 4}
	for range 4 + r.IntN(40) {
		p := randomVec(r, 1)
		points = append(points, pose.Apply(r3.Vec{X: p.X * scale.X, Y: p.Y * scale.Y, Z: p.Z * scale.Z}))
	}
	h, err := NewHull(points)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// within draws a point of the solid: a mix of its mesh's vertices.
func within(r *rand.Rand, m Mesh) r3.Vec {
	var p r3.Vec
	var sum float64
	for _, v := range m.Vertices {
		w := r.ExpFloat64()
		if r.IntN(2) == 0 {
			w *= 1e-9 // near a side, an edge or a corner
		}
		p, sum = r3.Add(p, r3.Scale(w, v)), sum+w
	}
	return r3.Scale(1/sum, p)
}

func TestGrownSolidHoldsEveryPointWithinTheMargin(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 400 {
		s := randomSolid(t, r)
		margin := logUniform(r, 1, 60)
		inner, outer := s.Mesh(0), s.Mesh(margin)
		checkClosed(t, inner)
		checkClosed(t, outer)
		checkConvex(t, inner)
		checkConvex(t, outer)
		faces := facesOf(outer)
		for range 50 {
			p := within(r, inner)
			if c, ok := s.(Cylinder); ok { // its mesh stands out a little
				p = r3.Add(c.Centre, r3.Scale(c.Radius/(c.Radius+Excess), r3.Sub(p, c.Centre)))
			}
			q := r3.Add(p, r3.Scale(margin, r3.Unit(randomVec(r, 1))))
			if !s.Contains(q, margin) {
				t.Fatalf("%T %+v: a point within %g mm is not in the grown solid", s, s, margin)
			}
			if d := faces.depth(q); d > 5*Resolution {
				t.Fatalf("%T: a point within %g mm stands %g mm out of the grown mesh", s, margin, d)
			}
		}
	}
}

func facesOf(m Mesh) halfspaces {
	var h halfspaces
	for i := range m.Faces {
		n := r3.Unit(m.cross(int32(i)))
		h = append(h, geom.Plane{Normal: n, Offset: r3.Dot(n, m.Vertices[m.Faces[i][0]])})
	}
	return h
}

// depth is how far p stands out of the body, negative inside.
func (h halfspaces) depth(p r3.Vec) float64 {
	d := math.Inf(-1)
	for _, pl := range h {
		d = max(d, pl.Distance(p))
	}
	return d
}

func TestContainsAgreesWithTheMesh(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for range 300 {
		s := randomSolid(t, r)
		for _, margin := range []float64{0, 20} {
			m := s.Mesh(margin)
			faces, b := facesOf(m), m.Bounds()
			slack := 5 * Resolution
			if _, ok := s.(Cylinder); ok {
				slack = 1.1 * Excess // corners of the polygon stand out by Excess
			}
			for range 100 {
				p := r3.Vec{
					X: b.Min.X + (b.Max.X-b.Min.X)*r.Float64(),
					Y: b.Min.Y + (b.Max.Y-b.Min.Y)*r.Float64(),
					Z: b.Min.Z + (b.Max.Z-b.Min.Z)*r.Float64(),
				}
				d := faces.depth(p)
				if s.Contains(p, margin) && d > slack || !s.Contains(p, margin) && d < -slack {
					t.Fatalf("%T: Contains says %v at depth %g of the mesh", s, s.Contains(p, margin), d)
				}
			}
		}
	}
}

// Growing stays tight: every corner of the grown mesh is near the solid. The
// corner of a box stands at 1.73 margins; bevels hold sharper ones near that.
func TestGrownCornersStayNear(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	worst := 0.0
	for range 400 {
		s := randomSolid(t, r)
		const margin = 20
		inner := s.Mesh(0).Vertices
		for _, v := range s.Mesh(margin).Vertices {
			lo, hi := 0.0, 100.0*margin
			for hi-lo > 0.01 {
				if mid := (lo + hi) / 2; near(v, inner, mid) {
					hi = mid
				} else {
					lo = mid
				}
			}
			worst = max(worst, hi/margin)
		}
	}
	t.Logf("furthest corner at %.2f margins", worst)
	if worst > 2.2 {
		t.Errorf("a grown corner stands %.2f margins away", worst)
	}
}

func TestHoldsIsAllCornersContained(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	var yes, no int
	for range 2000 {
		s := randomSolid(t, r)
		at := within(r, s.Mesh(0))
		half := r3.Scale(logUniform(r, 0.1, 50), r3.Vec{X: r.Float64(), Y: r.Float64(), Z: r.Float64()})
		b := geom.Bounds{Min: r3.Sub(at, half), Max: r3.Add(at, half)}
		all := true
		for _, c := range corners(b) {
			all = all && s.Contains(c, 10)
		}
		if s.Holds(b, 10) != all {
			t.Fatalf("%T: Holds is %v, corners say %v", s, !all, all)
		}
		if all {
			yes++
		} else {
			no++
		}
	}
	if yes < 100 || no < 100 {
		t.Errorf("%d inside and %d not: the draw shows nothing", yes, no)
	}
}

func TestVolumeAndBounds(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for range 300 {
		s := randomSolid(t, r)
		m := s.Mesh(0)
		slack := 1e-5 * s.Volume()
		if c, ok := s.(Cylinder); ok { // the polygon's area against the circle's
			n := float64(len(m.Vertices) / 2)
			slack = (n/math.Pi*math.Tan(math.Pi/n) - 1 + 1e-9) * c.Volume()
		}
		if d := m.Volume() - s.Volume(); math.Abs(d) > slack+1e-2 {
			t.Errorf("%T: mesh of %g mm^3, solid of %g", s, m.Volume(), s.Volume())
		}
		for _, margin := range []float64{0, 15} {
			b := s.Bounds(margin)
			for range 20 {
				p := r3.Add(within(r, m), r3.Scale(margin, r3.Unit(randomVec(r, 1))))
				if s.Contains(p, margin) && r3.Norm(r3.Sub(p, clamp(p, b))) > 5*Resolution {
					t.Fatalf("%T: a point of the solid lies outside its bounds", s)
				}
			}
		}
	}
}

func clamp(p r3.Vec, b geom.Bounds) r3.Vec {
	return r3.Vec{
		X: min(max(p.X, b.Min.X), b.Max.X),
		Y: min(max(p.Y, b.Min.Y), b.Max.Y),
		Z: min(max(p.Z, b.Min.Z), b.Max.Z),
	}
}

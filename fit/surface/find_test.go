package surface

import (
	"math"
	"reflect"
	"runtime"
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// shop is a small room: a floor that is not level, two walls, a bench with legs,
// a vise jaw of 45 x 45 x 150 mm on it.
func shop() (w world, names map[string]quad) {
	names = map[string]quad{
		"floor": {r3.Vec{X: -1000, Y: -2500, Z: -20}, r3.Vec{X: 4000, Z: 30}, r3.Vec{Y: 5000, Z: -15}},
		"wall":  {r3.Vec{X: 2400, Y: -2500, Z: -100}, r3.Vec{X: 60, Y: 5000}, r3.Vec{Z: 2500}},
		"side":  {r3.Vec{X: -1000, Y: 2100, Z: -100}, r3.Vec{X: 4000, Y: 40}, r3.Vec{Z: 2500}},
	}
	for _, n := range []string{"floor", "wall", "side"} {
		w.quads = append(w.quads, names[n])
	}
	top := block(r3.Vec{X: 1100, Y: 100, Z: 735}, r3.Vec{X: 800, Y: 1200, Z: 30}, 0.1)
	jaw := block(r3.Vec{X: 1000, Y: 0, Z: 772.5}, r3.Vec{X: 45, Y: 150, Z: 45}, 0.3)
	names["bench top"], names["jaw face"], names["jaw top"], names["jaw end"] = top[3], jaw[1], jaw[3], jaw[2]
	w.quads = append(append(w.quads, top...), jaw...)
	for _, s := range [][2]float64{{-1, -1}, {-1, 1}, {1, -1}, {1, 1}} {
		leg := block(r3.Vec{X: 1100 + s[0]*300, Y: 100 + s[1]*500, Z: 360}, r3.Vec{X: 60, Y: 60, Z: 720}, 0.1)
		w.quads = append(w.quads, leg...)
	}
	return w, names
}

// looksAtShop are two wide sweeps and two close passes over the jaw.
func looksAtShop() []look {
	return []look{
		{r3.Vec{X: 0, Y: -900, Z: 1300}, r3.Vec{X: 0, Y: 900, Z: 1300}, r3.Vec{X: 1, Z: -0.5}, r3.Vec{X: 0.5, Z: 1}, 160, 700, 1.5},
		{r3.Vec{X: 200, Y: -1200, Z: 1500}, r3.Vec{X: 900, Y: -1200, Z: 1500}, r3.Vec{Y: 1, Z: -0.7}, r3.Vec{Y: 0.7, Z: 1}, 160, 700, 1.5},
		{r3.Vec{X: 700, Y: -250, Z: 1050}, r3.Vec{X: 700, Y: 250, Z: 1050}, r3.Vec{X: 1, Z: -0.8}, r3.Vec{X: 0.8, Z: 1}, 160, 500, 1.0},
		{r3.Vec{X: 850, Y: -350, Z: 1050}, r3.Vec{X: 1150, Y: -350, Z: 1050}, r3.Vec{Y: 1, Z: -0.8}, r3.Vec{Y: 0.8, Z: 1}, 160, 500, 1.0},
	}
}

// down looks straight down on the origin's surroundings from a height, moving
// along Y at the given X.
func down(x, height float64) look {
	return look{
		r3.Vec{X: x, Y: -300, Z: height}, r3.Vec{X: x, Y: 300, Z: height},
		r3.Vec{X: -x, Z: -height}, r3.Vec{X: height, Z: -x}, 200, 400, 0.8,
	}
}

// The bounds are those the map is held to: 0.8 mm and 0.08 degrees.
func TestFindsLargeAndSmallFaces(t *testing.T) {
	w, names := shop()
	got := Find(scanner{atMetre: 0.3, memory: 0.6, pose: 0.2, seed: 1}.scan(w, looksAtShop()...))
	for name, q := range names {
		s := found(got, q)
		if s == nil {
			t.Errorf("%s: not found", name)
			continue
		}
		if mm, deg := off(s, q); mm > 0.8 || deg > 0.08 {
			t.Errorf("%s: off by %.2f mm and %.3f deg", name, mm, deg)
		}
	}
}

// In general libraries, edges, legs and jaws inside of the inlier band tilt
// table tops by 0.03 to 0.06 degrees (measured with PCL 1.13 and Open3D 0.16).
// Without an error of the arm nothing but noise is left here.
func TestTableTopIsNotTiltedByWhatTouchesIt(t *testing.T) {
	w, names := shop()
	got := Find(scanner{atMetre: 0.3, memory: 0.6, seed: 2}.scan(w, looksAtShop()...))
	s := found(got, names["bench top"])
	if s == nil {
		t.Fatal("not found")
	}
	if mm, deg := off(s, names["bench top"]); mm > 0.03 || deg > 0.003 {
		t.Errorf("off by %.3f mm and %.4f deg", mm, deg)
	}
}

// A plate of 3 mm lies on a larger one: two faces, 3 mm apart.
func TestParallelFacesStayApart(t *testing.T) {
	base := quad{r3.Vec{X: -300, Y: -300}, r3.Vec{X: 600}, r3.Vec{Y: 600}}
	plate := block(r3.Vec{X: 20, Y: 30, Z: 1.5}, r3.Vec{X: 200, Y: 160, Z: 3}, 0.4)[3]
	c := scanner{atMetre: 0.3, memory: 0.6, pose: 0.15, seed: 3}.scan(world{quads: []quad{base, plate}}, down(200, 700), down(-200, 800))
	got := Find(c)
	low, high := found(got, base), found(got, plate)
	if low == nil || high == nil || low == high {
		t.Fatalf("%d surfaces, want two", len(got))
	}
	gap := r3.Dot(low.Plane.Normal, r3.Sub(high.Centre, low.Centre))
	if math.Abs(gap-3) > 0.2 {
		t.Errorf("%.2f mm apart, want 3", gap)
	}
	if area := high.Area; math.Abs(area-200*160) > 0.1*200*160 {
		t.Errorf("the plate has %.0f mm2, want %d", area, 200*160)
	}
}

// Five sweeps whose positions differ by 0.4 mm, one sigma, see one face.
func TestSweepsThatDisagreeSeeOneFace(t *testing.T) {
	base := quad{r3.Vec{X: -400, Y: -400}, r3.Vec{X: 800}, r3.Vec{Y: 800}}
	for _, declared := range []float64{0.4, 0} {
		sc := scanner{atMetre: 0.1, memory: 0.6, pose: 0.4, seed: 4}
		c := sc.scan(world{quads: []quad{base}}, down(200, 700), down(-200, 700), down(0, 900), down(100, 600), down(-100, 800))
		c.PoseSigma = declared
		got := Find(c)
		if len(got) != 1 {
			t.Errorf("accuracy %g declared: %d surfaces, want one", declared, len(got))
			continue
		}
		if len(got[0].Scans) != 5 {
			t.Errorf("seen by %v, want all five", got[0].Scans)
		}
		if sd := math.Sqrt(got[0].Cov[0][0]); sd < 0.1 || sd > 0.5 {
			t.Errorf("sigma %.3f mm, want about 0.4/sqrt(5)", sd)
		}
	}
}

// A sheet of 2 mm seen from both sides has two faces that look away from each
// other.
func TestSheetSeenFromBothSides(t *testing.T) {
	front := quad{r3.Vec{X: 800, Y: -300, Z: 400}, r3.Vec{Y: 600}, r3.Vec{Z: 600}}
	back := quad{r3.Vec{X: 802, Y: -300, Z: 400}, r3.Vec{Y: 600}, r3.Vec{Z: 600}}
	c := scanner{atMetre: 0.3, memory: 0.6, pose: 0.1, seed: 5}.scan(world{quads: []quad{front, back}},
		look{r3.Vec{Y: -300, Z: 700}, r3.Vec{Y: 300, Z: 700}, r3.Vec{X: 1}, r3.Vec{Z: 1}, 200, 400, 0.8},
		look{r3.Vec{X: 1500, Y: -300, Z: 700}, r3.Vec{X: 1500, Y: 300, Z: 700}, r3.Vec{X: -1}, r3.Vec{Z: 1}, 200, 400, 0.8})
	got := Find(c)
	if len(got) != 2 {
		t.Fatalf("%d surfaces, want two", len(got))
	}
	a, b := got[0].Plane, got[1].Plane
	if a.Normal.X > 0 {
		a, b = b, a
	}
	if a.Normal.X > -0.99 || b.Normal.X < 0.99 {
		t.Errorf("normals %v and %v", a.Normal, b.Normal)
	}
	if thick := b.Offset + a.Offset; math.Abs(thick-2) > 0.5 {
		t.Errorf("%.2f mm thick, want 2", thick)
	}
}

// The front of an enclosure, with a wall 800 mm behind its door opening.
func TestDoorOpeningIsAHole(t *testing.T) {
	strip := func(y, z, dy, dz float64) quad {
		return quad{r3.Vec{X: 1000, Y: y, Z: z}, r3.Vec{Y: dy}, r3.Vec{Z: dz}}
	}
	w := world{quads: []quad{
		strip(-600, 0, 250, 1500), strip(350, 0, 250, 1500), strip(-350, 0, 700, 300), strip(-350, 1200, 700, 300),
		{r3.Vec{X: 1800, Y: -1500, Z: -500}, r3.Vec{Y: 3000}, r3.Vec{Z: 3000}},
	}}
	c := scanner{atMetre: 0.3, memory: 0.6, pose: 0.1, seed: 6}.scan(w,
		look{r3.Vec{Y: -650, Z: 700}, r3.Vec{Y: 650, Z: 700}, r3.Vec{X: 1}, r3.Vec{Z: 1}, 300, 500, 1.5})
	front := found(Find(c), quad{r3.Vec{X: 1000, Y: -600}, r3.Vec{Y: 1200}, r3.Vec{Z: 1500}})
	if front == nil || len(front.Holes) != 1 {
		t.Fatalf("front %+v, want one with a hole", front)
	}
	var ring []r2.Vec
	for _, p := range front.Holes[0] {
		ring = append(ring, r2.Vec{X: p.Y, Y: p.Z})
	}
	box := flat.BoundsAlong(ring, r2.Vec{X: 1})
	const tol = 20 // an edge of the voxels there, on either side
	if math.Abs(box.Size.X-700) > tol || math.Abs(box.Size.Y-900) > tol || r2.Norm(r2.Sub(box.Centre, r2.Vec{Y: 750})) > tol {
		t.Errorf("the opening is %v about %v", box.Size, box.Centre)
	}
	if a := flat.Area(ring); math.Abs(math.Abs(a)-700*900) > 0.05*700*900 {
		t.Errorf("the opening has %.0f mm2, want 630000", a)
	}
	if want := 1200.*1500 - 700*900; math.Abs(front.Area-want) > 0.05*want {
		t.Errorf("the front has %.0f mm2, want %.0f", front.Area, want)
	}
}

// A pillar of the building and a fence post.
func TestPosts(t *testing.T) {
	w := world{
		quads: []quad{{r3.Vec{X: -1000, Y: -1500}, r3.Vec{X: 4000}, r3.Vec{Y: 3000}}},
		rods: []rod{
			{r3.Vec{X: 1500, Y: -300}, r3.Unit(r3.Vec{X: 0.01, Y: 0.02, Z: 1}), 130, 2000},
			{r3.Vec{X: 1200, Y: 400}, r3.Vec{Z: 1}, 30, 1500},
		},
	}
	c := scanner{atMetre: 0.3, memory: 0.6, pose: 0.1, seed: 7}.scan(w,
		look{r3.Vec{Y: -600, Z: 900}, r3.Vec{Y: 600, Z: 900}, r3.Vec{X: 1}, r3.Vec{Z: 1}, 300, 500, 1.2},
		look{r3.Vec{X: 200, Y: -600, Z: 1100}, r3.Vec{X: 200, Y: 600, Z: 1100}, r3.Vec{X: 1}, r3.Vec{Z: 1}, 300, 500, 1.2})
	got := Find(c)
	for _, want := range w.rods {
		s := roundOf(got, want)
		if s == nil {
			t.Errorf("radius %g: not found", want.radius)
			continue
		}
		if d := s.Cylinder.Radius - want.radius; math.Abs(d) > 0.6 || math.Abs(d) > 4*s.Cylinder.SigmaRadius {
			t.Errorf("radius %.2f +- %.2f, want %g", s.Cylinder.Radius, s.Cylinder.SigmaRadius, want.radius)
		}
		if a := r3.Norm(r3.Cross(s.Cylinder.Axis, want.axis)); a > 0.002 {
			t.Errorf("radius %g: axis off by %.4f rad", want.radius, a)
		}
		if r := r3.Sub(s.Centre, s.Cylinder.Point); s.Plane.Normal.X > -0.8 || r3.Dot(r, s.Plane.Normal) < 0.99*s.Cylinder.Radius {
			t.Errorf("radius %g: centre %v, normal %v: not the side that was seen", want.radius, s.Centre, s.Plane.Normal)
		}
	}
}

func roundOf(all []Surface, r rod) *Surface {
	for i := range all {
		if c := all[i].Cylinder; c != nil && r3.Norm(r3.Cross(r3.Sub(c.Point, r.foot), r.axis)) < r.radius/2 {
			return &all[i]
		}
	}
	return nil
}

// A box of 60 mm, a table's leg, is no cylinder.
func TestLegIsNoPost(t *testing.T) {
	w := world{quads: append(block(r3.Vec{X: 1500, Z: 400}, r3.Vec{X: 60, Y: 60, Z: 800}, 0.7),
		quad{r3.Vec{X: -1000, Y: -1500}, r3.Vec{X: 4000}, r3.Vec{Y: 3000}})}
	c := scanner{atMetre: 0.3, memory: 0.6, pose: 0.1, seed: 8}.scan(w,
		look{r3.Vec{Y: -600, Z: 900}, r3.Vec{Y: 600, Z: 900}, r3.Vec{X: 1, Z: -0.3}, r3.Vec{X: 0.3, Z: 1}, 300, 500, 1.2})
	for _, s := range Find(c) {
		if s.Cylinder != nil {
			t.Errorf("a cylinder of radius %.1f at %v", s.Cylinder.Radius, s.Centre)
		}
	}
}

func TestSameWhateverTheCores(t *testing.T) {
	w, _ := shop()
	c := scanner{atMetre: 0.3, memory: 0.6, pose: 0.2, seed: 9}.scan(w, looksAtShop()...)
	many := Find(c)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if one := Find(c); !reflect.DeepEqual(one, many) {
		t.Error("one core finds another result than several")
	}
}

func TestLittleToFind(t *testing.T) {
	if got := Find(&mapping.Cloud{}); len(got) != 0 {
		t.Errorf("%d surfaces in nothing", len(got))
	}
	c := &mapping.Cloud{Scans: []string{"a"}, Noise: mapping.Noise{AtMetre: 0.3}}
	for i := range 4 {
		v := mapping.Voxel{Edge: 5, Toward: r3.Vec{Z: 1}, Range: 500, Moments: geom.Moments{N: 1, Mean: r3.Vec{X: float64(5 * i)}}}
		c.Voxels = append(c.Voxels, v)
	}
	if got := Find(c); len(got) != 0 {
		t.Errorf("%d surfaces in four points", len(got))
	}
}

// Every voxel belongs to one surface at most, and to what it lies on.
func TestVoxelsBelongOnce(t *testing.T) {
	w, _ := shop()
	c := scanner{atMetre: 0.3, memory: 0.6, pose: 0.2, seed: 10}.scan(w, looksAtShop()...)
	owner := map[int32]int{}
	for i, s := range Find(c) {
		for k, v := range s.Voxels {
			if k > 0 && s.Voxels[k-1] >= v {
				t.Fatalf("surface %d: voxels do not ascend", i)
			}
			if o, ok := owner[v]; ok {
				t.Fatalf("voxel %d belongs to surfaces %d and %d", v, o, i)
			}
			owner[v] = i
		}
	}
	if share := float64(len(owner)) / float64(len(c.Voxels)); share < 0.95 {
		t.Errorf("surfaces hold %.3f of the voxels of a room of planes", share)
	}
}

package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"cellwall/fit/surface"
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestFreeAndTaken(t *testing.T) {
	s := handMade(tile(r3.Vec{X: 1000}, r3.Vec{X: -1}, 10, 10), tile(r3.Vec{Z: -500}, r3.Vec{Z: 1}, 10, 10))
	if got := s.free(s.upright); len(got) != 1 || got[0] != 0 {
		t.Errorf("upright: %v", got)
	}
	if got := s.free(s.level); len(got) != 1 || got[0] != 1 {
		t.Errorf("level: %v", got)
	}
	if f := s.take("top", 1); f.Name != "top" || f.Centre.Z != -500 {
		t.Errorf("took %v", f)
	}
	if got := s.free(func(*surface.Surface) bool { return true }); len(got) != 1 || got[0] != 0 {
		t.Errorf("free after one was taken: %v", got)
	}
	box := geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 1000}}, Size: r3.Vec{X: 4, Y: 8, Z: 8}}
	if len(s.within([]geom.Box{box}, 0)) != 0 || len(s.within([]geom.Box{box}, 1.5)) != 1 {
		t.Error("within disagrees with the outline")
	}
}

// A close pass sees a small face with a thousand times the points of a wall far
// off; what it says of the room counts by the area seen.
func TestBehindCountsArea(t *testing.T) {
	s := handMade()
	add := func(n int, p r3.Vec) {
		points := make([]r3.Vec, n)
		for i := range points {
			points[i] = r3.Add(p, r3.Vec{Y: float64(i % 7)})
		}
		v := voxelOf(r3.Vec{}, points...)
		s.cloud.Voxels = append(s.cloud.Voxels, v)
		s.weight = append(s.weight, areaWeight(&v))
		s.owner = append(s.owner, 0)
		s.total += areaWeight(&v)
	}
	for range 3 {
		add(5, r3.Vec{X: 2000})
	}
	add(5000, r3.Vec{X: 500})
	pl := geom.Plane{Normal: r3.Vec{X: -1}, Offset: -1000}
	within(t, "share behind", s.behind(pl, 10), 0.75, 1e-12)
	stray := voxelOf(r3.Vec{}, r3.Vec{X: 3000})
	if areaWeight(&stray) != 0 {
		t.Error("a single point has a say")
	}
}

func TestHeightsCountFromTheFloor(t *testing.T) {
	s := handMade()
	if s.height(r3.Vec{X: 5, Z: 30}) != 30 {
		t.Error("without a floor, heights count from the base")
	}
	floor := edgeBound(flatFloor.R.Axis(2), flatFloor.T, 0)
	s.floor = &floor
	f := tile(flatFloor.Apply(r3.Vec{X: 900, Z: 500}), r3.Vec{X: -1}, 200, 300)
	lo, hi := s.heights(&f)
	within(t, "lower end", lo, 350, 3)
	within(t, "upper end", hi, 650, 3)
	if l, h := span(nil, r3.Vec{X: 1}); !math.IsInf(l, 1) || !math.IsInf(h, -1) {
		t.Error("nothing spans something")
	}
}

// A hundredth of the points are strays, and lie anywhere in the room and below its
// floor, a voxel each or two. They are no surface, and the floor is the floor.
func TestStraysBelowTheFloorSpeakNotAgainstIt(t *testing.T) {
	slow(t)
	w := hall(27)
	w.box(standing(900, -400, 0), 0, 0, 0, 600, 800, 700)
	c := w.look(swings, 300, 200)
	rng := rand.New(rand.NewPCG(27, 1))
	for range len(c.Voxels) / 5 {
		p := r3.Vec{X: 4000 * (rng.Float64() - 0.5), Y: 4000 * (rng.Float64() - 0.5), Z: -900 - 1500*rng.Float64()}
		v := mapping.Voxel{Edge: 20, Toward: r3.Unit(r3.Scale(-1, p)), Range: r3.Norm(p), Bounds: geom.NoBounds()}
		for range 2 {
			q := r3.Add(p, r3.Vec{X: 8 * rng.Float64(), Y: 8 * rng.Float64(), Z: 8 * rng.Float64()})
			v.Add(q, 1)
			v.Bounds.Extend(q)
		}
		c.Voxels = append(c.Voxels, v)
	}
	s := surveyedBy(c)
	if s.floor == nil {
		t.Fatal("no floor")
	}
	within(t, "height of the floor", s.height(flatFloor.T), 0, 1)
}

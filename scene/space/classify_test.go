package space

import (
	"testing"

	"cellwall/mapping"
	"cellwall/mapping/arm"
	"cellwall/mapping/geom"
	"cellwall/mapping/sight"

	"gonum.org/v1/gonum/spatial/r3"
)

// looked is a cloud whose arm reaches 1 m, with every cube set of whose middle
// crossed says so, and one voxel of points, 8 mm wide, at each place.
func looked(t *testing.T, crossed func(p r3.Vec) bool, points ...r3.Vec) *mapping.Cloud {
	t.Helper()
	g, err := sight.New(arm.Reach{Centres: []r3.Vec{{}}, Radius: 1000}, 40, 20)
	if err != nil {
		t.Fatal(err)
	}
	l := g.Lattice()
	for z := range l.N[2] {
		for y := range l.N[1] {
			for x := range l.N[0] {
				if c := [3]int{x, y, z}; crossed(l.Centre(c)) {
					g.Crossed().Set(c)
				}
			}
		}
	}
	cloud := &mapping.Cloud{Sight: g}
	h := r3.Vec{X: 4, Y: 4, Z: 4}
	for _, p := range points {
		cloud.Voxels = append(cloud.Voxels, mapping.Voxel{Bounds: geom.Bounds{Min: r3.Sub(p, h), Max: r3.Add(p, h)}})
	}
	return cloud
}

func all(r3.Vec) bool { return true }

// A voxel beside one that is not crossed is not clear, nor is one near a point;
// both are one cube of 20 mm, or as many as hold the slack.
func TestNearIsAsFarAsPlacesMayBeOff(t *testing.T) {
	for slack, want := range map[float64][2]float64{0: {40, 40}, 15: {40, 40}, 25: {40, 80}, 50: {80, 80}} {
		s := Of(looked(t, func(p r3.Vec) bool { return p.X > 0 }, r3.Vec{X: 410, Y: 10, Z: 10}), Known{Slack: slack})
		clearFrom := func(x, y float64) float64 { // the first clear voxel along +X
			for d := 0.0; d < 400; d += 40 {
				if s.State(r3.Vec{X: x + d + 20, Y: y, Z: 20}) == Clear {
					return d
				}
			}
			return -1
		}
		if d := clearFrom(0, 500); d != want[0] {
			t.Errorf("slack %g: clear from %g mm behind what was not crossed, want %g", slack, d, want[0])
		}
		// The point's cube, 400 to 420, and those near it touch the voxels up to there.
		if d := clearFrom(400, 20); d != want[1] {
			t.Errorf("slack %g: clear from %g mm behind a point's voxel, want %g", slack, d, want[1])
		}
		if st := s.State(r3.Vec{X: 410, Y: 10, Z: 10}); st != Solid {
			t.Errorf("slack %g: a measured point is %v", slack, st)
		}
	}
}

func TestIgnoredBoxesAreNotClear(t *testing.T) {
	box := geom.Box{Pose: geom.Pose{R: geom.Exp(r3.Vec{Z: 0.5}), T: r3.Vec{X: 300, Y: 100}}, Size: r3.Vec{X: 200, Y: 50, Z: 300}}
	s := Of(looked(t, all), Known{Ignore: []geom.Box{box}})
	for x := -400.0; x < 800; x += 9 {
		for y := -400.0; y < 500; y += 9 {
			p := r3.Vec{X: x, Y: y, Z: 77}
			if box.Contains(p) && s.State(p) != Unseen {
				t.Fatalf("%v lies in an ignored box and is %v", p, s.State(p))
			}
			if !box.Grown(2*s.Lattice.HalfDiagonal()).Contains(p) && s.State(p) != Clear {
				t.Fatalf("%v lies far from the ignored box and is %v", p, s.State(p))
			}
		}
	}
}

// Unseen space in reach ends at the floor and where the arm cannot be.
func TestReachEndsAtTheFloor(t *testing.T) {
	none := func(r3.Vec) bool { return false }
	floor := geom.Plane{Normal: r3.Vec{Z: 1}, Offset: -400}
	ball := Of(looked(t, none), Known{}).Volumes().UnseenInReach
	if ball < 4.1888 || ball > 4.1888*1.15 { // 4/3 pi m^3, and voxels that stick out
		t.Errorf("%g m3 in a reach of 1 m", ball)
	}
	s := Of(looked(t, none), Known{Floor: &floor})
	// A ball less its cap of height h = 0.6 m: pi h^2 (3 - h) / 3.
	if v := s.Volumes().UnseenInReach; v < 4.1888-0.9048 || v > (4.1888-0.9048)*1.18 {
		t.Errorf("%g m3 above the floor", v)
	}
	if b := s.Surface().Bounds(); b.Min.Z < -400-80 || b.Max.Z < 1000 {
		t.Errorf("the surface spans %+v", b)
	}
	if s.State(r3.Vec{Z: -900}) != Unseen {
		t.Error("below the floor space is known")
	}
}

func TestNoRobotNoStates(t *testing.T) {
	if s := Of(&mapping.Cloud{}, Known{}); s != nil {
		t.Error("states without a grid")
	}
}

// What rays only claim to have crossed is clear where the grid takes claims, but
// for what is solid, and how much that is is told.
func TestClaimsAreClearAndCounted(t *testing.T) {
	half := func(p r3.Vec) bool { return p.X < 0 }
	cloud := looked(t, half, r3.Vec{X: 410, Y: 10, Z: 10})
	if v := Of(cloud, Known{}).Volumes(); v.ByNoReturn != nil {
		t.Errorf("%g m3 by no return, though no claims are taken", *v.ByNoReturn)
	}
	without := Of(cloud, Known{}).Volumes().Clear
	cloud.Sight.TakeClaims()
	claim(cloud.Sight)
	box := geom.Box{Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 700}}, Size: r3.Vec{X: 200, Y: 200, Z: 200}}
	s := Of(cloud, Known{Ignore: []geom.Box{box}})
	v := s.Volumes()
	if v.ByNoReturn == nil || !closeTo(v.Clear, without+*v.ByNoReturn) || *v.ByNoReturn < 3.5 {
		t.Errorf("%+v, and %g m3 clear without", v, without)
	}
	// The point refutes the claims that lead through it.
	for p, want := range map[r3.Vec]State{
		{X: -500, Y: 10, Z: 10}: Clear, {X: 200, Y: 10, Z: 10}: Unseen, {X: 410, Y: 10, Z: 10}: Solid, {X: 200, Y: 210, Z: 10}: Clear, {X: 700, Y: 50, Z: 10}: Unseen,
	} {
		if st := s.State(p); st != want {
			t.Errorf("at %g space is %v", p, st)
		}
	}
}

// claim has rays without a return claim all that lies beyond X = -100.
func claim(g *sight.Grid) {
	l := g.Lattice()
	for y := range l.N[1] {
		for z := range l.N[2] {
			var line sight.Line
			line.Beside = []geom.Pose{geom.Identity()}
			for range 2*sight.Vouchers + 2 {
				mid := l.Centre([3]int{0, y, z})
				eye := r3.Vec{X: -100, Y: mid.Y, Z: mid.Z}
				line.Rays = append(line.Rays, sight.Ray{Eye: eye, Along: r3.Unit(r3.Vec{X: 1, Y: 1e-9 * float64(len(line.Rays))}), Clear: 5000, Claim: true})
			}
			line.Cross(g)
		}
	}
}

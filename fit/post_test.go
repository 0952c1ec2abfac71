package fit

import (
	"math"
	"testing"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestPostStandsOnTheFloor(t *testing.T) {
	posts := shop().findPosts()
	if len(posts) != 1 {
		t.Fatalf("%d posts, want the pillar", len(posts))
	}
	p := posts[0]
	within(t, "distance of its foot from the truth", r3.Norm(r3.Sub(p.Pose.T, pillarAt.T)), 0, 3)
	within(t, "lean of its axis", deg(tilt(p.Pose.R.Axis(2), flatFloor.R.Axis(2))), 0, 0.3)
	within(t, "diameter", p.Measures["diameter_mm"].Value, 300, 2)
	if s := p.Cov.SigmaT(); !(s.X > 0 && s.X < 5 && s.Y > 0 && s.Y < 5) {
		t.Errorf("sigma of its foot %v", s)
	}
}

// By hand: an axis known to 1 mm at mid-height, 1 m up, and to 1 mrad, is known
// to sqrt(1^2 + 1^2) mm at its foot; where what moves it there tilts it the other
// way, to 2 mm, and where it goes with the tilt, not at all off.
func TestPostSigmaAtTheFoot(t *testing.T) {
	s := &survey{up: r3.Vec{Z: 1}}
	side := Face{Name: "side", Surface: barSurface(r3.Vec{X: 1000}, 100, 1000)}
	c := side.Cylinder
	c.Point.Z = 1000
	foot := func(together float64) geom.Cov6 {
		c.Cov = surface.Cov5{{1}, {1: 1}, {2: 1e-6}, {3: 1e-6}, {}}
		for k := range 2 {
			c.Cov[k][k+2], c.Cov[k+2][k] = together*1e-3, together*1e-3
		}
		return s.post(side).Cov
	}
	for together, want := range map[float64]float64{0: math.Sqrt2, -1: 2, 1: 0} {
		cov := foot(together)
		within(t, "sigma across", cov.SigmaT().X, want, 1e-9)
		within(t, "sigma across", cov.SigmaT().Y, want, 1e-9)
		within(t, "sigma of the lean", cov.SigmaR().Y, 1e-3, 1e-9)
		within(t, "sigma of the turn about its axis", cov.SigmaR().Z, math.Pi/math.Sqrt(3), 1e-9)
	}
}

// A post that a tripod saw from its other side, 2 mm aside of where the arm's
// scans have it, is one post, uncertain by that; one beside it is another.
func TestPostSeenTwiceIsOne(t *testing.T) {
	s := handMade(barSurface(r3.Vec{X: 1000}, 100, 1000), barSurface(r3.Vec{X: 1002}, 101, 900), barSurface(r3.Vec{X: 1300}, 100, 1000))
	for i, points := range []int{5000, 900, 800} {
		s.surfaces[i].Points = points
	}
	posts := s.findPosts()
	if len(posts) != 2 || len(posts[0].Faces) != 2 || posts[0].Faces[1].Name != "side-2" {
		t.Fatalf("%d posts: %+v", len(posts), posts)
	}
	within(t, "its foot", posts[0].Pose.T.X, 1000, 1e-9)
	if got := posts[0].Cov.SigmaT().X; got < 2 {
		t.Errorf("sigma of its foot %.2f mm, want the 2 that its pieces differ by in it", got)
	}
}

func TestDuctIsNoPost(t *testing.T) {
	s := &survey{up: r3.Vec{Z: 1}}
	bar := barSurface(r3.Vec{X: 1000}, 100, 1000)
	if !s.postLike(&bar) {
		t.Fatal("an upright bar is not taken for a post")
	}
	bar.Plane.Normal, bar.Plane.Offset = r3.Scale(-1, bar.Plane.Normal), -bar.Plane.Offset
	if s.postLike(&bar) {
		t.Error("a hollow seen from within is taken for a post")
	}
}

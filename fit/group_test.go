package fit

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestCoplanar(t *testing.T) {
	n := r3.Vec{X: -1}
	wall := tile(r3.Vec{X: 1000}, n, 800, 2000)
	for _, c := range []struct {
		name string
		x    float64
		n    r3.Vec
		want bool
	}{
		{"a metre along", 1000, n, true},
		{"a sheet's step proud", 992, n, false},
		{"seen from behind", 1000, r3.Vec{X: 1}, false},
		{"leaning by 2 degrees", 1000, r3.Unit(r3.Vec{X: -1, Z: 0.035}), false},
	} {
		piece := tile(r3.Vec{X: c.x, Y: 1500}, c.n, 300, 2000)
		if got := coplanar(&wall, &piece); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
		if coplanar(&piece, &wall) != coplanar(&wall, &piece) {
			t.Errorf("%s: it matters which is asked", c.name)
		}
	}
}

// A crumb whose own plane is not known does not drag a far one along.
func TestCrumbJoinsNothingFarOff(t *testing.T) {
	wall := tile(r3.Vec{X: 1000}, r3.Vec{X: -1}, 800, 2000)
	crumb := tile(r3.Vec{X: 980, Y: 900}, r3.Vec{X: -1}, 20, 20)
	crumb.Cov[1][1], crumb.Cov[2][2] = 0.01, 0.01
	if coplanar(&wall, &crumb) {
		t.Error("20 mm off, and a piece of the wall")
	}
}

func TestGroupsKeepTheirDistance(t *testing.T) {
	n := r3.Vec{Z: 1}
	s := handMade(
		tile(r3.Vec{}, n, 100, 100),
		tile(r3.Vec{X: 250}, n, 300, 100), // 50 mm beside the first
		tile(r3.Vec{X: 1500}, n, 50, 50),
		tile(r3.Vec{X: 500, Z: 90}, n, 90, 90),
	)
	all := []int{0, 1, 2, 3}
	got := s.groups(all, 100)
	if len(got) != 3 || len(got[0]) != 2 || got[0][0] != 1 || got[0][1] != 0 {
		t.Errorf("groups %v, want [1 0] first, the rest alone", got)
	}
	if got := s.groups(all, 2000); len(got) != 2 || len(got[0]) != 3 {
		t.Errorf("groups at any distance %v", got)
	}
}

// A small piece of a face is said to lie in the large one's plane, and its
// uncertainty there is the large one's.
func TestSmallPieceTakesThePlaneOfTheFace(t *testing.T) {
	n := r3.Vec{X: -1}
	crumb := tile(r3.Vec{X: 1001, Y: 900}, r3.Unit(r3.Vec{X: -1, Y: 0.01}), 100, 100)
	crumb.Cov[2][2] = 1e-6
	s := handMade(tile(r3.Vec{X: 1000}, n, 1000, 2000), crumb)
	var o Object
	s.takeGroup(&o, "face", []int{0, 1})
	got := o.Faces[1]
	if got.Name != "face-2" || got.Plane != o.Faces[0].Plane || got.Centre.X != 1000 || got.Cov[2][2] > 2e-8 {
		t.Errorf("%s has plane %v and covariance %v", got.Name, got.Plane, got.Cov)
	}
	for _, p := range got.Outline {
		within(t, "corner off the plane", got.Plane.Distance(p), 0, 1e-9)
	}
	if len(s.free(s.upright)) != 0 {
		t.Error("taken surfaces are still free")
	}
}

// A scrap whose turn is not known does not say that it lies in the plane of the
// large one, and is given no such certainty.
func TestScrapKeepsItsOwnUncertainty(t *testing.T) {
	scrap := tile(r3.Vec{X: 1001, Y: 900}, r3.Unit(r3.Vec{X: -1, Y: 0.01}), 100, 100)
	scrap.Cov[2][2] = 1e-4
	s := handMade(tile(r3.Vec{X: 1000}, r3.Vec{X: -1}, 1000, 2000), scrap)
	var o Object
	s.takeGroup(&o, "face", []int{0, 1})
	if got := o.Faces[1]; got.Cov[2][2] != 1e-4 || got.Plane != scrap.Plane {
		t.Errorf("covariance %v", got.Cov)
	}
	if loose := o.shed(); len(loose) != 1 || len(o.Faces) != 1 {
		t.Errorf("%d faces are left", len(o.Faces))
	}
}

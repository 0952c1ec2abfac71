package surface

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// corner is a field of two square sheets that meet at a right angle along Y.
func corner() *field {
	pts := sheetOf(300, 5, 0.2, 1)
	for _, p := range sheetOf(300, 5, 0.2, 2) {
		pts = append(pts, r3.Vec{X: p.Z - 5, Y: p.Y, Z: 5 + p.X})
	}
	return divide(spotsOf(pts, r3.Unit(r3.Vec{X: 1, Z: 1}), 0.2*math.Sqrt2)) // along the ray
}

// After the contest a voxel belongs to the nearer of two planes, whoever took it
// first.
func TestContestGivesToTheBetterPlane(t *testing.T) {
	f := corner()
	if len(f.regions) != 2 {
		t.Fatalf("%d regions, want 2", len(f.regions))
	}
	// Let the first have all that fits it, as growing does.
	for i := range f.spots {
		if f.spots[i].fits(f.regions[0].plane) {
			f.owner[i] = 0
		}
	}
	f.contest()
	wrong := 0
	for i, o := range f.owner {
		if o == none {
			continue
		}
		mine, other := f.spots[i].strangeness(f.regions[o].plane), f.spots[i].strangeness(f.regions[1-o].plane)
		if mine > other+within*within {
			wrong++
		}
	}
	if wrong > 0 {
		t.Errorf("%d voxels are with the worse plane", wrong)
	}
	for _, r := range f.regions {
		n := r.plane.Normal
		if tilt := math.Min(math.Abs(n.X), math.Abs(n.Z)); tilt > 0.001 {
			t.Errorf("normal %v is off by %.4f", n, tilt)
		}
	}
}

func TestContestKeepsBooks(t *testing.T) {
	f := corner()
	f.contest()
	count := make([]int, len(f.regions))
	for i, o := range f.owner {
		if o != none {
			count[o]++
			if !f.spots[i].fits(f.regions[o].plane) && f.spots[i].strangeness(f.regions[o].plane) > 2*within*within {
				t.Errorf("spot %d does not fit its region", i)
			}
		}
	}
	for i, r := range f.regions {
		if count[i] != len(r.members) {
			t.Errorf("region %d has %d members, %d spots say it owns them", i, len(r.members), count[i])
		}
	}
}

func TestDropRenumbers(t *testing.T) {
	f := corner()
	second := f.regions[1].plane
	f.drop(func(i int) bool { return i == 0 })
	if len(f.regions) != 1 || f.regions[0].plane != second {
		t.Fatalf("%d regions are left", len(f.regions))
	}
	for i, o := range f.owner {
		if o > 0 {
			t.Fatalf("spot %d belongs to region %d of one", i, o)
		}
	}
	for _, m := range f.regions[0].members {
		if f.owner[m] != 0 {
			t.Fatalf("member %d belongs to %d", m, f.owner[m])
		}
	}
}

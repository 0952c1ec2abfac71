package surface

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestDivideFindsBothSheetsOfACorner(t *testing.T) {
	f := corner()
	if len(f.regions) != 2 {
		t.Fatalf("%d regions, want 2", len(f.regions))
	}
	for i, r := range f.regions {
		if len(r.members) < 3400 { // of 60 x 60 each, less what lies in the crease
			t.Errorf("region %d has %d members", i, len(r.members))
		}
		for _, m := range r.members {
			if f.owner[m] != int32(i) {
				t.Fatalf("member %d of region %d belongs to %d", m, i, f.owner[m])
			}
		}
	}
}

// A sheet that was taken for two becomes one again; the other side of a corner
// does not.
func TestJoinMakesOneOfTwoPieces(t *testing.T) {
	f := corner()
	whole := len(f.regions[0].members)
	a, b := region{plane: f.regions[0].plane}, region{plane: f.regions[0].plane}
	for _, m := range f.regions[0].members {
		if f.spots[m].Mean.Y < 150 {
			a.add(m, &f.spots[m])
		} else {
			b.add(m, &f.spots[m])
			f.owner[m] = 2
		}
	}
	f.regions[0] = a
	f.regions = append(f.regions, b)
	f.join()
	if len(f.regions) != 2 {
		t.Fatalf("%d regions, want 2", len(f.regions))
	}
	if n := len(f.regions[0].members) + len(f.regions[1].members); max(len(f.regions[0].members), len(f.regions[1].members)) < whole || n < 2*3400 {
		t.Errorf("%d and %d members, want %d in one", len(f.regions[0].members), len(f.regions[1].members), whole)
	}
}

func TestStepIsNotJoined(t *testing.T) {
	pts := sheetOf(200, 5, 0.2, 1)
	for _, p := range sheetOf(200, 5, 0.2, 2) {
		pts = append(pts, r3.Vec{X: p.X + 200, Y: p.Y, Z: p.Z + 3})
	}
	f := divide(spotsOf(pts, r3.Vec{Z: 1}, 0.2))
	f.join()
	if len(f.regions) != 2 {
		t.Errorf("%d regions, want one on either side of a step of 3 mm", len(f.regions))
	}
}

package surface

import (
	"math"
	"testing"

	"cellwall/mapping/geom"
	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r3"
)

// laid is a region of all the points, in the plane z = 5, laid out.
func laid(pts []r3.Vec) ([]spot, *region, *sheet) {
	spots := spotsOf(pts, r3.Vec{Z: 1}, 0.1)
	r := &region{plane: geom.Plane{Normal: r3.Vec{Z: 1}, Offset: 5}}
	for i := range spots {
		r.add(int32(i), &spots[i])
	}
	return spots, r, layOut(spots, r)
}

func TestSheetOfASquare(t *testing.T) {
	spots, r, sh := laid(sheetOf(200, 5, 0, 1))
	parts := sh.split(spots, r)
	if len(parts) != 1 || len(parts[0].members) != len(spots) {
		t.Fatalf("%d parts, want one of all", len(parts))
	}
	outer, holes := sh.outline(0)
	if len(outer) != 4 || len(holes) != 0 {
		t.Errorf("%d corners and %d holes, want a square", len(outer), len(holes))
	}
	// The outermost points lie 2.5 mm inside; cells of 3.3 mm are covered whole.
	if a := flat.Area(outer); math.Abs(math.Sqrt(a)-197.5) > 3.4 {
		t.Errorf("edge %.1f mm, want 195 to 200", math.Sqrt(a))
	}
}

// Two squares 40 mm apart are two parts, each with its own members.
func TestSheetIsSplitWhereItDoesNotHangTogether(t *testing.T) {
	pts := sheetOf(100, 5, 0, 1)
	n := len(pts)
	for _, p := range sheetOf(100, 5, 0, 1) {
		pts = append(pts, r3.Vec{X: p.X + 140, Y: p.Y, Z: p.Z})
	}
	spots, r, sh := laid(pts)
	parts := sh.split(spots, r)
	if len(parts) != 2 || len(parts[0].members) != n || len(parts[1].members) != n {
		t.Fatalf("%d parts, want two of %d", len(parts), n)
	}
	for _, part := range parts {
		left := spots[part.members[0]].Mean.X < 120
		for _, m := range part.members {
			if spots[m].Mean.X < 120 != left {
				t.Fatal("a part holds voxels of both squares")
			}
		}
	}
}

func TestDepthCountsFromTheRim(t *testing.T) {
	spots, _, sh := laid(sheetOf(200, 5, 0, 1))
	depth := sh.depth()
	for i := range spots {
		p := spots[i].Mean
		want := min(p.X, p.Y, 200-p.X, 200-p.Y)
		if got := float64(depth[sh.at(spots[i].in(sh.frame))]); math.Abs(got-want) > 0.08*want+2*sh.cell {
			t.Fatalf("%v lies %.1f mm deep, want %.1f", p, got, want)
		}
	}
}

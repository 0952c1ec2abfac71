package shape

import (
	"slices"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Two bodies in one file are two pieces; a hollow in one of them is none.
func TestPieces(t *testing.T) {
	far := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 300}}
	in := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 310, Y: 10, Z: 10}}
	hollow := placed(block(20, 20, 20), in)
	for i := range hollow {
		hollow[i][1], hollow[i][2] = hollow[i][2], hollow[i][1]
	}
	on := geom.Pose{R: geom.IdentityRot(), T: r3.Vec{X: 300, Z: 70}} // touches the one below in an edge
	m := NewModel(slices.Concat(angle(), placed(block(60, 90, 70), far), hollow, placed(block(60, 30, 20), on)))
	p := m.Pieces(far)
	var corners []int
	for _, x := range p {
		corners = append(corners, len(x))
	}
	slices.Sort(corners)
	if !slices.Equal(corners, []int{8, 8, 12}) {
		t.Errorf("pieces of %v corners, not of 8, 8 and 12", corners)
	}
}

// TestNearestByAll holds the tree against a look at every facet.
func TestNearestByAll(t *testing.T) {
	m := NewModel(bar(40, 100))
	for i, s := range m.samples {
		p := r3.Add(s.at, r3.Scale(float64(i%7), s.normal))
		k, foot := m.tree.nearest(p, s.normal, 50)
		best := 1e9
		for j := range m.tree.facets {
			if f := &m.tree.facets[j]; r3.Dot(f.Normal(), s.normal) > grazing {
				best = min(best, r3.Norm(r3.Sub(p, f.Closest(p))))
			}
		}
		if got := r3.Norm(r3.Sub(p, foot)); k < 0 || got > best+1e-6 || got < best-1e-6 {
			t.Fatalf("sample %d: %g by the tree, %g by all", i, got, best)
		}
	}
}

// A ray through a block of 60 mm runs 60 mm inside it; from its middle, half of
// that.
func TestInside(t *testing.T) {
	m := NewModel(block(60, 90, 70))
	for _, x := range []struct{ from, want float64 }{{-100, 60}, {30, 30}, {61, 0}} {
		if got := m.tree.inside(r3.Vec{X: x.from, Y: 31, Z: 17}, r3.Vec{X: 1}); got < x.want-1e-9 || got > x.want+1e-9 {
			t.Errorf("from %g: %g mm inside, not %g", x.from, got, x.want)
		}
	}
}

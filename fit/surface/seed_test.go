package surface

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// sheetOf is a square grid of points of the given pitch with noise along Z.
func sheetOf(edge, pitch, sigma float64, seed uint64) (pts []r3.Vec) {
	r := rand.New(rand.NewPCG(seed, 0))
	for x := pitch / 2; x < edge; x += pitch {
		for y := pitch / 2; y < edge; y += pitch {
			pts = append(pts, r3.Vec{X: x, Y: y, Z: 5 + sigma*r.NormFloat64()})
		}
	}
	return pts
}

func TestSeedOfAPlaneIsItsLargestNode(t *testing.T) {
	tr := newTree(spotsOf(sheetOf(1280, 20, 0.3, 1), r3.Vec{Z: -1}, 0.3))
	got := tr.seeds()
	if len(got) != 1 || edge(got[0].level) != 1280 {
		t.Fatalf("seeds %v, want one of 1280 mm", got)
	}
	if n := got[0].plane.Normal; n.Z > -0.999 {
		t.Errorf("normal %v, want toward the side seen, -Z", n)
	}
}

func TestThickAndThinThingsAreNoSeeds(t *testing.T) {
	thick := spotsOf(sheetOf(160, 5, 3, 2), r3.Vec{Z: 1}, 0.3)
	if got := newTree(thick).seeds(); len(got) != 0 {
		t.Errorf("%d seeds in points ten times thicker than noise", len(got))
	}
	var line []r3.Vec
	for i := range 200 {
		line = append(line, r3.Vec{X: float64(i), Y: 3, Z: 4})
	}
	if got := newTree(spotsOf(line, r3.Vec{Z: 1}, 0.3)).seeds(); len(got) != 0 {
		t.Errorf("%d seeds on a line", len(got))
	}
}

// Two sheets that meet in a crease: no seed lies across it.
func TestSeedsKeepOffACrease(t *testing.T) {
	pts := sheetOf(320, 5, 0.1, 3)
	for _, p := range sheetOf(320, 5, 0.1, 4) {
		pts = append(pts, r3.Vec{X: p.Z - 5, Y: p.Y, Z: 5 + p.X})
	}
	for _, s := range newTree(spotsOf(pts, r3.Unit(r3.Vec{X: 1, Z: 1}), 0.1)).seeds() {
		n := s.plane.Normal
		if tilt := math.Min(math.Abs(n.X), math.Abs(n.Z)); tilt > 0.1 {
			t.Errorf("a seed of %g mm looks to %v", edge(s.level), n)
		}
	}
}

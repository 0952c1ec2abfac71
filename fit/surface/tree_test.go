package surface

import (
	"math"
	"testing"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// spotsOf makes one spot of every point, with the noise given.
func spotsOf(pts []r3.Vec, toward r3.Vec, sigma float64) []spot {
	c := cloudOf(pts, toward, sigma)
	return arrange(c)
}

func TestNodesSumUpWhatLiesInThem(t *testing.T) {
	w, _ := shop()
	c := scanner{atMetre: 0.3, seed: 1}.scan(w, looksAtShop()[2])
	spots := arrange(c)
	tr := newTree(spots)
	var all geom.Moments
	for i := range spots {
		all.Merge(spots[i].Weighted(1 / spots[i].variance()))
	}
	for l := range levels {
		var sum geom.Moments
		last := int32(0)
		for _, n := range tr.levels[l] {
			if n.first != last {
				t.Fatalf("level %d: a node starts at %d, the one before ends at %d", l, n.first, last)
			}
			last = n.last
			sum.Merge(n.Moments)
			for i := n.first; i < n.last; i++ {
				if spots[i].code>>(3*l) != n.code {
					t.Fatalf("level %d: spot %d lies in another node", l, i)
				}
			}
		}
		if int(last) != len(spots) {
			t.Errorf("level %d: %d spots of %d", l, last, len(spots))
		}
		if math.Abs(sum.N/all.N-1) > 1e-9 || r3.Norm(r3.Sub(sum.Mean, all.Mean)) > 1e-6 {
			t.Errorf("level %d: weight %g about %v, want %g about %v", l, sum.N, sum.Mean, all.N, all.Mean)
		}
	}
}

func TestChildrenAreTheNodesBelow(t *testing.T) {
	w, _ := shop()
	tr := newTree(arrange(scanner{atMetre: 0.3, seed: 1}.scan(w, looksAtShop()[2])))
	for l := 1; l < levels; l++ {
		count := 0
		for n := range tr.levels[l] {
			tr.children(l, int32(n), func(k int32) {
				if tr.levels[l-1][k].code>>3 != tr.levels[l][n].code {
					t.Fatalf("level %d: node %d is no child of %d", l, k, n)
				}
				count++
			})
		}
		if count != len(tr.levels[l-1]) {
			t.Errorf("level %d: %d children, want %d", l, count, len(tr.levels[l-1]))
		}
	}
}

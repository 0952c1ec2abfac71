package sight

import (
	"math/rand/v2"
	"testing"
)

func TestSealLeavesNoEdgeBetweenTwoAcross(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for _, n := range [][3]int{{66, 6, 5}, {128, 3, 4}, {9, 9, 9}} {
		_, b, set := drawn(rng, n, 0.1)
		b.Seal()
		left, taken := 0, 0
		each(n, func(c [3]int) {
			if b.Has(c) != set[c] {
				taken++
			}
			if set[c] && !b.Has(c) {
				t.Fatalf("%v: the cube at %v was lost", n, c)
			}
			for a := range 3 {
				right, up, over := c, c, c
				right[a]++
				up[(a+1)%3]++
				over[a]++
				over[(a+1)%3]++
				if over[a] == n[a] || over[(a+1)%3] == n[(a+1)%3] {
					continue
				}
				if b.Has(c) == b.Has(over) && b.Has(right) == b.Has(up) && b.Has(c) != b.Has(right) {
					left++
				}
			}
		})
		if left > 0 || taken == 0 {
			t.Errorf("%v: %d edges are left, %d cubes were taken in", n, left, taken)
		}
		visited := map[[3]int]bool{}
		b.Each(func(c [3]int) { visited[c] = b.Has(c) })
		if len(visited) != b.Count() {
			t.Errorf("%v: %d of %d cubes were visited", n, len(visited), b.Count())
		}
	}
}

package reach

import (
	"math"
	"math/rand/v2"
	"testing"
)

// dense is the least distance at steps of 0.05 deg of the joint that turns most.
func dense(c *Checker, q0, q1 []float64, pairs []pair) float64 {
	most := 0.0
	for i := range q0 {
		most = max(most, math.Abs(q1[i]-q0[i]))
	}
	n := int(most/(0.05*degree)) + 1
	d := math.Inf(1)
	var p posture
	q := make([]float64, len(q0))
	for k := range n + 1 {
		for i := range q {
			q[i] = q0[i] + float64(k)/float64(n)*(q1[i]-q0[i])
		}
		c.stand(&p, q)
		d = min(d, least(c, &p, pairs))
	}
	return d
}

// The bound is certain: dense sampling, every body at every step, never finds
// the arm nearer, to the scene or to itself; and it is tight. Distances are held
// to closed forms and to FCL in their own room.
func TestBoundIsNeverAboveWhatSamplingFinds(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	moves, loose, hits := 0, 0, 0
	scenes, each := 4, 5
	if testing.Short() {
		scenes = 1
	}
	for range scenes {
		c := mustChecker(t, sixAxis(), shop(t, r, 12))
		for range each {
			q0, q1 := posed(c, r), posed(c, r)
			for name, pairs := range map[string]func(*search) []pair{"scene": scenePairs, "self": ownPairs} {
				got := c.straight(q0, q1, math.Inf(1), pairs)
				var all []pair
				if name == "self" {
					all = c.self
				}
				want := dense(c, q0, q1, all)
				if got.Bound > want+1e-6 || got.Least < got.Bound {
					t.Errorf("%s: bound %.6f and least %.6f, sampling finds %.6f", name, got.Bound, got.Least, want)
				}
				moves++
				if want-got.Bound > 2 {
					loose++
				}
				if want < 0 {
					hits++
				}
			}
		}
	}
	t.Logf("%d moves, %d hits, %d bounds more than 2 mm below what sampling finds", moves, hits, loose)
	if loose*20 > moves || hits == 0 || hits == moves {
		t.Errorf("of %d moves %d bounds are loose, %d hit", moves, loose, hits)
	}
}

func BenchmarkMove(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 3))
	c := mustChecker(b, sixAxis(), shop(b, r, 150))
	var ways [][2][]float64
	for range 200 {
		ways = append(ways, [2][]float64{posed(c, r), posed(c, r)})
	}
	b.ResetTimer()
	for i := range b.N {
		w := ways[i%len(ways)]
		c.straight(w[0], w[1], math.Inf(1), scenePairs)
		c.straight(w[0], w[1], math.Inf(1), ownPairs)
	}
}

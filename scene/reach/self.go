package reach

import (
	"fmt"
	"math"
)

// selfPostures is over how many postures a pair of capsules must overlap to be
// held for joined: links that can part do so in most of the joints' range, so a
// pair that never does among as many is one that the capsules' fatness joins.
const selfPostures = 256

// selfPairs finds the pairs of capsules that the arm can be held against itself
// by: not on the same link, nor on neighbouring ones, which share a joint.
func (c *Checker) selfPairs() {
	var open []pair
	capsules := c.arm.Capsules
	for i := range capsules {
		for j := range capsules {
			if capsules[j].Frame+2 <= capsules[i].Frame {
				open = append(open, pair{capsule: i, body: -1, other: j, base: capsules[j].Frame})
			}
		}
	}
	parted := make([]bool, len(open))
	var p posture
	for k := range selfPostures {
		c.stand(&p, c.spread(k))
		for i, x := range open {
			parted[i] = parted[i] || c.gap(&p, x).Distance > 0
		}
	}
	for i, x := range open {
		if parted[i] {
			c.self = append(c.self, x)
		} else {
			c.Unchecked = append(c.Unchecked, fmt.Sprintf("%s and %s", c.Link(x.other), c.Link(x.capsule)))
		}
	}
}

// spread is the k-th of a sequence of joint angles that fills the space within
// the limits evenly (Halton, Numer. Math. 2 (1960) 84). A joint without limits
// is taken once round.
func (c *Checker) spread(k int) []float64 {
	primes := [...]int{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37}
	q := make([]float64, len(c.arm.Joints))
	for i, j := range c.arm.Joints {
		lo, hi := max(j.Min, -math.Pi), min(j.Max, math.Pi)
		at, base := 0.0, primes[i%len(primes)]
		for f, n := 1/float64(base), k+1; n > 0; f, n = f/float64(base), n/base {
			at += f * float64(n%base)
		}
		q[i] = lo + at*(hi-lo)
	}
	return q
}

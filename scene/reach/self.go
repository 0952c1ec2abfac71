package reach

import (
	"fmt"
	"slices"
)

// selfPostures is over how many postures a pair of capsules must overlap to be
// held for joined: links that can part do so in most of the joints' range, so a
// pair that never does among as many is one that the capsules' fatness joins.
const selfPostures = 256

// selfPairs finds the pairs of pieces that the arm can be held against itself
// by, those of pieces from first on: not on the same link, nor on neighbouring ones,
// which share a joint.
func (c *Checker) selfPairs(first int) {
	var open []pair
	for i := first; i < len(c.pieces); i++ {
		for j := range c.pieces {
			if f := c.pieces[j].frame; f+2 <= c.pieces[i].frame {
				open = append(open, pair{piece: i, body: -1, other: j, base: f})
			}
		}
	}
	parted := make([]bool, len(open))
	var p posture
	for k := range selfPostures {
		c.stand(&p, c.Spread(k))
		for i, x := range open {
			parted[i] = parted[i] || c.gap(&p, x).Distance > 0
		}
	}
	for i, x := range open {
		if parted[i] {
			c.self = append(c.self, x)
		} else {
			if name := fmt.Sprintf("%s and %s", c.Link(x.other), c.Link(x.piece)); !slices.Contains(c.Unchecked, name) {
				c.Unchecked = append(c.Unchecked, name)
			}
		}
	}
}

// Been takes notice that the arm stood at joint angles q (rad), as it did where
// it scanned from: space that it took up was clear. And links do not overlap, so
// two capsules that do there are fatter than their links, by that much at least:
// it is allowed them from then on. The tool was not there and is left out. Call it
// before any check, and before Look.
func (c *Checker) Been(q []float64) {
	var p posture
	c.stand(&p, q)
	c.been.note(p.pieces[:c.own])
	c.stoodIn(&p)
	for i := range c.self {
		x := &c.self[i]
		if x.piece >= c.own {
			continue
		}
		if d := c.gap(&p, *x).Distance; d < 0 {
			x.spare -= d
		}
	}
}

// overlap of a link with an object at a posture that the arm stood at, mm.
type overlap struct {
	link, object string
	depth        float64
}

// stoodIn notes what the arm's own links overlap at a posture that it stood at.
func (c *Checker) stoodIn(p *posture) {
	for _, k := range c.moving {
		if k >= c.own {
			continue
		}
		g, i := c.tree.Nearest(p.pieces[k].body, 0)
		if i < 0 {
			continue
		}
		link, object := c.Link(k), c.objects[i]
		at := slices.IndexFunc(c.into, func(o overlap) bool { return o.link == link && o.object == object })
		if at < 0 {
			at = len(c.into)
			c.into = append(c.into, overlap{link: link, object: object})
		}
		c.into[at].depth = max(c.into[at].depth, -g.Distance)
	}
}

// Contradictions name the links and objects that overlap at a posture that the
// arm stood at, and by how much: there a link's capsule or an object's solid is
// fatter than the thing is, or the scene has moved since. Hits are told all the
// same, for nothing says which of the two it is.
func (c *Checker) Contradictions() []string {
	var out []string
	for _, o := range c.into {
		out = append(out, fmt.Sprintf("%s and %s by %.1f mm", o.link, o.object, o.depth))
	}
	return out
}

// Allowed names the pairs of the arm's own links whose capsules overlap at a
// posture that it has stood at, and by how much, mm.
func (c *Checker) Allowed() []string {
	var out []string
	for _, x := range c.self {
		if x.spare > 0 {
			out = append(out, fmt.Sprintf("%s and %s by %.1f mm", c.Link(x.other), c.Link(x.piece), x.spare))
		}
	}
	return out
}

// Spread is the k-th of a sequence of joint angles that fills the space within
// the limits evenly (Halton, Numer. Math. 2 (1960) 84).
func (c *Checker) Spread(k int) []float64 { return c.spreadWithin(k, c.Limits()) }

func (c *Checker) spreadWithin(k int, l Limits) []float64 {
	primes := [...]int{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37}
	q := make([]float64, len(l.Lo))
	for i := range q {
		at, base := 0.0, primes[i%len(primes)]
		for f, n := 1/float64(base), k+1; n > 0; f, n = f/float64(base), n/base {
			at += f * float64(n%base)
		}
		q[i] = l.Lo[i] + at*(l.Hi[i]-l.Lo[i])
	}
	return q
}

package scout

import (
	"context"
	"math"
	"slices"

	"cellwall/mapping/cores"
	"cellwall/scene/reach"
)

// start is a posture to begin from, and the start from which the way to it is
// clear; nil for a home.
type start struct {
	q    []float64
	from *start
}

// way leads from the home to the posture.
func (s *start) way() [][]float64 {
	var out [][]float64
	for ; s != nil; s = s.from {
		out = append(out, s.q)
	}
	slices.Reverse(out)
	return out
}

// reached is a tree of postures that grows from the homes into what is clear, one
// joint at a time: a wrist that turns alone sweeps little that was not seen, and
// joint 1 carries what the arm has cleared round with it.
func (c *Cell) reached(ctx context.Context) []*start {
	var out []*start
	for _, h := range c.Homes {
		out = append(out, &start{q: h})
	}
	const batch = 16
	found := make([]*start, batch)
	for k := 0; k < tried && len(out) < begun && ctx.Err() == nil; k += batch {
		cores.Until(ctx, batch, func(i int) { found[i] = c.grow(out, k+i) })
		for _, s := range found {
			if s != nil {
				out = append(out, s)
			}
		}
	}
	return out
}

// grow turns one joint of a posture of the tree toward the k-th of the angles
// that fill its limits evenly, as far as that is clear; nil where it is not.
func (c *Cell) grow(tree []*start, k int) *start {
	from := tree[k%len(tree)]
	joint := k / len(tree) % len(from.q)
	to := c.turn(from.q, joint, c.Check.Spread(k)[joint])
	if math.Abs(to[joint]-from.q[joint]) < stretch/2 {
		return nil
	}
	return &start{to, from}
}

// stretch is how far a joint turns between the places where a turn may end.
const stretch = 10 * math.Pi / 180

// turn is where a joint comes to that turns from q toward an angle, as far as
// the way is clear.
func (c *Cell) turn(q []float64, joint int, angle float64) []float64 {
	n := math.Ceil(math.Abs(angle-q[joint]) / stretch)
	at := q
	for i := 1.0; i <= n; i++ {
		next := slices.Clone(q)
		next[joint] += i / n * (angle - q[joint])
		if v := c.Check.Between(at, next).Verdict; v != reach.Clear && !(c.Blind && v == reach.IntoUnseen) {
			break
		}
		at = next
	}
	return at
}

// trim cuts a candidate down to what is clear round the end of its way.
func (c *Cell) trim(x *candidate) {
	x.trimmed = true
	begin := x.Way[len(x.Way)-1]
	x.From, x.To = c.turn(begin, x.Joint, x.From[x.Joint]), c.turn(begin, x.Joint, x.To[x.Joint])
}

// blind tells whether the arm enters unseen space anywhere.
func (c *Cell) blind(s *Sweep) bool {
	stops := s.stops()
	for i := 1; i < len(stops); i++ {
		if c.Check.Between(stops[i-1].q, stops[i].q).Verdict != reach.Clear {
			return true
		}
	}
	return false
}

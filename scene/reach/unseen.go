package reach

// finestUnseen, mm, is how far the arm may travel over the shortest stretch that
// is looked at for unseen space: a quarter of the voxels that the states of space
// are kept in, so that a stretch so short adds little to what the arm fills.
const finestUnseen = 10

// entersUnseen is the first place along the way where a link may meet unseen
// space; nil where it is certain that none does. Over a stretch the arm lies
// within its capsules midway, grown by how far they travel from there; stretches
// are halved until that is in seen space, or too short to matter.
func (c *Checker) entersUnseen(w way) *Unseen {
	var p posture
	parts := float64(len(w.knots) - 1)
	for i := range len(w.knots) - 1 {
		q0, q1 := w.knots[i], w.knots[i+1]
		step := make([]float64, len(q0))
		for k := range step {
			step[k] = q1[k] - q0[k]
		}
		turn := c.arm.Turns(step)
		if u := c.sweep(&p, q0, step, turn, w.slack, 0, 1); u != nil {
			u.At = (float64(i) + u.At) / parts
			return u
		}
	}
	return nil
}

func (c *Checker) sweep(p *posture, q0, step, turn []float64, slack, lo, hi float64) *Unseen {
	mid, half := (lo+hi)/2, (hi-lo)/2
	q := make([]float64, len(q0))
	for k := range q {
		q[k] = q0[k] + mid*step[k]
	}
	c.stand(p, q)
	for _, k := range c.moving {
		way := c.travel(p, k, 0, turn, half).way
		link := p.capsules[k]
		link.Radius += way + slack
		if !c.Unseen(link) {
			continue
		}
		if way <= finestUnseen {
			return &Unseen{Link: c.Link(k), At: mid, Q: q}
		}
		if u := c.sweep(p, q0, step, turn, slack, lo, mid); u != nil {
			return u
		}
		return c.sweep(p, q0, step, turn, slack, mid, hi)
	}
	return nil
}

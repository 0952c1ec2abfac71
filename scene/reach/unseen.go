package reach

// finestUnseen, mm, is how far a link may travel over the shortest stretch that
// is looked at for unseen space: next to nothing beside a voxel.
const finestUnseen = 1

// entersUnseen is the first place along the way where a link may meet unseen
// space; nil where it is certain that none does.
func (c *Checker) entersUnseen(w way) *Unseen {
	parts := float64(len(w.knots) - 1)
	for i := range len(w.knots) - 1 {
		q0, q1 := w.knots[i], w.knots[i+1]
		s := &sweep{Checker: c, q0: q0, step: make([]float64, len(q0)), slack: w.slack}
		for k := range s.step {
			s.step[k] = q1[k] - q0[k]
		}
		s.turn = c.arm.Turns(s.step)
		var first *Unseen
		for _, k := range c.moving {
			if u := s.link(k, 0, 1); u != nil && (first == nil || u.At < first.At) {
				first = u
			}
		}
		if first != nil {
			first.At = (float64(i) + first.At) / parts
			return first
		}
	}
	return nil
}

// sweep is the arm on a straight line in joint angles.
type sweep struct {
	*Checker
	q0, step, turn []float64
	slack          float64
	at             posture
}

// link k over a stretch: it lies within its capsule midway, grown by how far it
// travels from there. Stretches are halved until that is in seen space, or too
// short to matter.
func (s *sweep) link(k int, lo, hi float64) *Unseen {
	mid, half := (lo+hi)/2, (hi-lo)/2
	q := make([]float64, len(s.q0))
	for i := range q {
		q[i] = s.q0[i] + mid*s.step[i]
	}
	s.stand(&s.at, q)
	way := s.travel(&s.at, k, 0, s.turn, half).way
	swept := s.at.capsules[k]
	swept.Radius += way + s.slack
	switch {
	case !s.Unseen(swept):
		return nil
	case way <= finestUnseen:
		return &Unseen{Link: s.Link(k), At: mid, Q: q}
	}
	if u := s.link(k, lo, mid); u != nil {
		return u
	}
	return s.link(k, mid, hi)
}

package space

import "gonum.org/v1/gonum/spatial/r3"

// Columns are the places of a plan over the states: what is above and below each.
type Columns struct {
	states *States
	mostly []bool // by place, X fastest
}

// Columns tells of every place whether more than half of the height that the arm
// can touch there, above the floor, was never looked into.
func (s *States) Columns() *Columns {
	n := s.Lattice.N
	unseen, reached := make([]int, n[0]*n[1]), make([]int, n[0]*n[1])
	s.reach.Each(func(c [3]int) { reached[c[1]*n[0]+c[0]]++ })
	s.inReach().Each(func(c [3]int) { unseen[c[1]*n[0]+c[0]]++ })
	out := &Columns{states: s, mostly: make([]bool, n[0]*n[1])}
	for i := range unseen {
		out.mostly[i] = 2*unseen[i] > reached[i]
	}
	return out
}

// MostlyUnseen tells so of the column that holds p (base, mm); one out of reach is
// not.
func (c *Columns) MostlyUnseen(p r3.Vec) bool {
	at := c.states.Lattice.At(p)
	at[2] = 0
	return c.states.Lattice.Holds(at) && c.mostly[at[1]*c.states.Lattice.N[0]+at[0]]
}

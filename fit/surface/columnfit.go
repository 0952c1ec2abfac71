package surface

import (
	"math"
	"slices"

	"cellwall/fit/surface/shape"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

// fitColumn fits a cylinder to the column's members, from where it is.
func (f *field) fitColumn(c column) (shape.Cylinder, error) {
	fit, _, _, err := shape.FitCylinder(f.sets(c.members), c.Cylinder)
	return fit, err
}

// sets are the moments of the members, weighted by 1/variance.
func (f *field) sets(members []int32) []geom.Moments {
	out := make([]geom.Moments, len(members))
	for i, m := range members {
		out[i] = f.spots[m].Weighted(1 / f.spots[m].variance())
	}
	return out
}

// worth is how much less strange a cylinder must make its members than their
// planes do: a plane that follows a curve as far as noise allows leaves its
// members spread over the whole band, with a mean square of three; a good fit
// leaves one. A fifth less cannot be chance for a few dozen voxels.
const worth = 0.8

// convincing tells whether a column lies about its cylinder as noise has it, on
// an arc that determines it, and explains its members better than planes do.
func (f *field) convincing(c *column) bool {
	if len(c.members) < seedSpots || c.arc(f.spots) < leastArc {
		return false
	}
	var round, flat, points float64
	for _, m := range c.members {
		s := &f.spots[m]
		z := within * within
		if o := f.owner[m]; o != none {
			z = min(z, s.strangeness(f.regions[o].plane))
		}
		round += s.N * s.strangenessTo(c.Cylinder)
		flat += s.N * z
		points += s.N
	}
	return round <= points*excess(len(c.members)) && round <= worth*flat && f.covers(c)
}

// covers tells whether the strips that a column would absorb lie on it for the
// most part: a cylinder that cuts a corner does not explain its two sides.
func (f *field) covers(c *column) bool {
	var theirs, on float64
	for _, o := range f.absorbed(c.members) {
		theirs += float64(len(f.regions[o].members))
	}
	gone := map[int32]bool{}
	for _, o := range f.absorbed(c.members) {
		gone[o] = true
	}
	for _, m := range c.members {
		if gone[f.owner[m]] {
			on++
		}
	}
	return theirs > 0 && on > worth*theirs
}

// absorbed lists the regions of which most spots are among the members.
func (f *field) absorbed(members []int32) []int32 {
	count := map[int32]int{}
	for _, m := range members {
		if o := f.owner[m]; o != none {
			count[o]++
		}
	}
	var out []int32
	for o := range f.regions {
		if n := count[int32(o)]; 2*n > len(f.regions[o].members) {
			out = append(out, int32(o))
		}
	}
	return out
}

// claim takes the column's members from the regions that hold them; gone are
// those that the column makes needless.
func (f *field) claim(c *column, gone []bool) {
	touched := map[int32]bool{}
	for _, m := range c.members {
		if o := f.owner[m]; o != none && !gone[o] {
			touched[o] = true
		}
		f.owner[m] = none
	}
	for o := range f.regions {
		if !touched[int32(o)] {
			continue
		}
		old := f.regions[o]
		f.regions[o] = region{plane: old.plane}
		for _, m := range old.members {
			if f.owner[m] == int32(o) {
				f.regions[o].add(m, &f.spots[m])
			}
		}
	}
}

// middle is the direction, square to the axis, from which the column was seen on
// average.
func (c *column) middle(spots []spot) r3.Vec {
	var sum r3.Vec
	for _, m := range c.members {
		sum = r3.Add(sum, r3.Scale(spots[m].N, r3.Unit(c.Radial(spots[m].Mean))))
	}
	return r3.Unit(r3.Sub(sum, r3.Scale(r3.Dot(sum, c.Axis), c.Axis)))
}

// unroll is where a place lies on the cylinder: the angle from the middle
// direction, counted about the axis, and the height along it.
func (c *column) unroll(p, middle r3.Vec) (angle, height float64) {
	d := c.Radial(p)
	return math.Atan2(r3.Dot(d, r3.Cross(c.Axis, middle)), r3.Dot(d, middle)), r3.Dot(r3.Sub(p, c.Point), c.Axis)
}

// tails is the share of the members at either end of an arc that does not tell
// how far it reaches: mixed points about an edge lie on any cylinder through it.
const tails = 0.05

// arc is how far round the members reach, rad, by the stretch that holds all but
// the tails of an even spread.
func (c *column) arc(spots []spot) float64 {
	middle := c.middle(spots)
	angles := make([]float64, len(c.members))
	for i, m := range c.members {
		angles[i], _ = c.unroll(spots[m].Mean, middle)
	}
	slices.Sort(angles)
	return (stat.Quantile(1-tails, stat.Empirical, angles, nil) - stat.Quantile(tails, stat.Empirical, angles, nil)) / (1 - 2*tails)
}

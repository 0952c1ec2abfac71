package surface

import (
	"cellwall/mapping"

	"gonum.org/v1/gonum/spatial/r3"
)

// drift says how far a sweep as a whole may be off: the flange's position by
// one sigma of pose mm, and its attitude by that over its distance from the
// base, for an error of a joint moves and turns the flange at once.
type drift struct{ pose float64 }

// at is the variance of a sweep's offset where it saw v, mm^2.
func (d drift) at(v *mapping.Voxel) float64 {
	reach := max(r3.Norm(v.Eye()), leastReach)
	turn := d.pose / reach * v.Range
	return d.pose*d.pose + turn*turn
}

// leastReach keeps the attitude's share finite for an eye above the base: no arm
// that carries a scanner works nearer to its own axis, mm (common practice).
const leastReach = 200.0

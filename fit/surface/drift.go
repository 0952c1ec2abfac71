package surface

import (
	"cellwall/mapping"

	"gonum.org/v1/gonum/spatial/r3"
)

// drift says how far a sweep as a whole may be off: the flange's position by one
// sigma of pose mm, and its attitude by that over its distance from the base,
// for an error of a joint moves and turns the flange at once.
type drift struct{ pose float64 }

// leastReach keeps the attitude's share finite for an eye above the base: no arm
// that carries a scanner works nearer to its own axis, mm (common practice).
const leastReach = 200.0

// turn is one sigma of the scanner's attitude where its eye is, rad.
func (d drift) turn(eye r3.Vec) float64 { return d.pose / max(r3.Norm(eye), leastReach) }

// at is the variance of a sweep's offset where it saw v, mm^2.
func (d drift) at(v *mapping.Voxel) float64 {
	swing := d.turn(v.Eye()) * v.Range
	return d.pose*d.pose + swing*swing
}

// steadiness is how many times smaller the slow error within a sweep is than the
// arm's accuracy, as long as sweeps do not show it: a few times, as an arm's
// repeatability is against its accuracy (ISO 9283 names both; common practice).
const steadiness = 5.0

// declared is the share that the declared accuracy lets expect.
func (d drift) declared() share {
	slow := d.pose / steadiness
	return share{sweep: 1, wave: slow * slow}
}

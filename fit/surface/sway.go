package surface

import (
	"cellwall/mapping"

	"gonum.org/v1/gonum/spatial/r3"
)

// sway says how far a sweep may be off but for the sensor's noise, as variances
// in mm^2: for an error of a joint moves and turns the flange at once, and does
// not quite stay what it was while the arm moves.
type sway struct {
	shift float64 // of the scanner's position, along each axis
	turn  float64 // of its attitude about each axis, times its squared distance from the base
	wave  float64 // of what comes and goes within a sweep
	// Of shift and turn: what all sweeps may have in common beside.
	armShift, armTurn float64
}

// steadiness is how many times smaller the slow error within a sweep is than the
// arm's accuracy, as long as sweeps do not show it: a few times, as an arm's
// repeatability is against its accuracy (ISO 9283 names both; common practice).
const steadiness = 5.0

// declared is what the arm's accuracy of pose mm, one sigma, lets expect. The
// error of a joint turns the flange by what it moves it over the distance.
func declared(pose float64) sway {
	v := pose * pose
	return sway{shift: v, turn: v, wave: v / (steadiness * steadiness)}
}

// leastReach keeps the turn finite for an eye above the base: no arm that carries
// a scanner works nearer to its own axis, mm (common practice).
const leastReach = 200.0

// reach is the squared distance from the base over which an error of the arm's
// joints turns a scanner whose eye is there.
func reach2(eye r3.Vec) float64 { return max(r3.Norm2(eye), leastReach*leastReach) }

// gain is how much the turn adds to the variance of a sweep's offset, in units
// of sway.turn, where it saw v.
func gain(v *mapping.Voxel) float64 { return v.Range * v.Range / reach2(v.Eye()) }

// of is the covariance of a sweep's plane.
func (s sway) of(p *plain) mat3 {
	c := p.turn.times(s.turn).plus(p.wave.times(s.wave))
	c[0][0] += s.shift
	return c
}

// arm is the covariance that all sweeps have in common, as one of them has it.
func (s sway) arm(p *plain) mat3 {
	c := p.turn.times(s.armTurn)
	c[0][0] += s.armShift
	return c
}

// after is s where the scans were moved to agree: no scan is known better than
// its move is, and what all had in common they still have.
func (s sway) after(by *mapping.Aligned) sway {
	if by == nil {
		return s
	}
	over := reach2(by.Middle())
	s.shift = max(s.shift, by.Each.Shift*by.Each.Shift)
	s.turn = max(s.turn, by.Each.Turn*by.Each.Turn*over)
	s.armShift = max(s.armShift, by.Common.Shift*by.Common.Shift)
	s.armTurn = max(s.armTurn, by.Common.Turn*by.Common.Turn*over)
	return s
}

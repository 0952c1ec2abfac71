package mapping

import "gonum.org/v1/gonum/spatial/r3"

const (
	lapTries = 8   // from so many places of the piece
	sameWay  = 1.5 // steps from ray to ray within which a ray looks the same way again
	away     = 4   // steps after which it has looked another way
)

// lap is after how many points of a piece with a stamp a point the scanner looks
// the same way again, seen in its own frame: the most that is found from several
// places, as a mirror that swings comes back sooner and later; 0 where it does not
// come back within the piece.
func (p *piece) lap() int {
	longest := 0
	for try := range lapTries {
		longest = max(longest, p.lapFrom(try*p.len()/(2*lapTries)))
	}
	return longest
}

func (p *piece) lapFrom(start int) int {
	for start < p.len() && !returned(p.p[start]) {
		start++
	}
	if start == p.len() {
		return 0
	}
	first, last, step, gone := r3.Unit(r3.Sub(p.p[start], p.eye)), r3.Vec{}, 0.0, false
	for i := start + 1; i < p.len(); i++ {
		if !returned(p.p[i]) {
			continue
		}
		v := r3.Unit(r3.Sub(p.p[i], p.eye))
		off := norm(r3.Sub(v, first))
		switch {
		case step == 0:
			step = off
		case gone && off <= sameWay*step:
			return i - start
		case off > away*step:
			gone = true
		}
		if last != (r3.Vec{}) {
			if s := norm(r3.Sub(v, last)); s > 0 {
				step = min(step, s) // gaps do not lengthen it
			}
		}
		last = v
	}
	return 0
}

package surface

import "math"

// knownTurn is the standard uncertainty, rad, up to which a face's turn tells a
// user something: a face is there to line things up with, and its normal is held
// to 0.08 degrees where it is judged. One known to no better than 0.1 degrees
// (k = 1) misses that as often as not.
const knownTurn = 0.1 * math.Pi / 180

// Faint tells whether a plane's turn is known too poorly for a user to build on
// it. A scrap like that is still something not to run into. A cylinder is known
// by its axis and radius and never faint.
func (s *Surface) Faint() bool {
	return s.Cylinder == nil && max(s.Cov[1][1], s.Cov[2][2]) > knownTurn*knownTurn
}

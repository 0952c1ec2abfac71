package solid

import (
	"math"

	"cellwall/scene/simplex"

	"gonum.org/v1/gonum/spatial/r3"
)

// near tells whether p lies within eps of the convex hull of points (Gilbert,
// Johnson and Keerthi, IEEE J. Robotics Autom. 4 (1988) 193): the nearest point
// of a growing simplex approaches that of the hull, and the search ends as soon
// as either bound on the distance passes eps.
func near(p r3.Vec, points []r3.Vec, eps float64) bool {
	var s simplex.Simplex
	s.Add(simplex.Corner{V: r3.Sub(points[0], p)})
	// Each step brings the simplex nearer or ends the search; few points need
	// few steps, and the bound only guards against rounding that goes in circles.
	for range 4 + 4*len(points) {
		v := s.Shrink().V
		d := r3.Norm(v)
		if d <= eps {
			return true
		}
		var w r3.Vec
		least := math.Inf(1)
		for _, q := range points {
			if along := r3.Dot(v, r3.Sub(q, p)); along < least {
				least, w = along, r3.Sub(q, p)
			}
		}
		if least/d > eps || least >= d*d*(1-1e-12) {
			return false
		}
		if len(s.Corners()) == 4 { // the origin is within them, but for rounding
			return true
		}
		s.Add(simplex.Corner{V: w})
	}
	return false
}

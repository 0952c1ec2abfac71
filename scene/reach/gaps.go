package reach

import (
	"math"

	"cellwall/scene/reach/guard"
)

// Gap is where a move comes nearer to an object than a part of the body is thick,
// without touching it.
type Gap struct {
	Clearance
	Parts []guard.Part // those that it can crush
}

// gaps of a way, one for each object that it comes near to and does not touch, in
// the order of the scene.
func (c *Checker) gaps(w way) []Gap {
	widest := 0.0
	for _, p := range c.Profile.Parts {
		widest = max(widest, p.Gap)
	}
	var out []Gap
	for first := 0; first < len(c.bodies); {
		next := first
		for next < len(c.bodies) && c.objects[next] == c.objects[first] {
			next++
		}
		got := c.along(w, widest, bodyPairs(first, next))
		if got.Q != nil && got.Least > 0 {
			out = append(out, Gap{got, c.Profile.Crushes(got.Bound)})
		}
		first = next
	}
	return out
}

// bodyPairs are those of the moving pieces with the bodies from first to before
// next.
func bodyPairs(first, next int) func(*search) []pair {
	return func(s *search) []pair {
		var out []pair
		s.place(.5)
		for _, k := range s.moving {
			reach := s.travel(&s.at, k, 0, s.turn, .5).way + max(0, s.best.Least)
			for b := first; b < next; b++ {
				if x := (pair{piece: k, body: b}); s.gap(&s.at, x).Distance <= reach {
					out = append(out, x)
				}
			}
		}
		return out
	}
}

// none is the limit of a search that looks everywhere.
var none = math.Inf(1)

package moves

import (
	"cmp"
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// pair is a face of the old map, where a motion takes it, and the face of the new
// map that is taken for it.
type pair struct {
	old, new *patch // of the two maps as they are
	at       patch  // old, moved
	frame    geom.Pose
	shared   float64 // area that both saw, mm^2
}

// slack is how far off a face may lie and still be taken for the same.
type slack struct{ offset, turn float64 } // mm, rad

// The slacks of the search, from a guess to the solution. The first is well below
// any two parallel faces that a machine has side by side, as the top and the
// bottom of a groove are; the last is what is left for a part of it to be out of
// place.
var slacks = []slack{{12, 1.5 * degree}, {8, 1 * degree}, {5, 0.6 * degree}}

const degree = math.Pi / 180

// leastShared is the share of the smaller face that the larger must hold.
const leastShared = 0.1

// pairs deals the new faces to the old ones as the motion would have it, the
// largest shared area first, one to one.
func pairs(old, new []patch, motion geom.Pose, within slack) []pair {
	var all []pair
	for i := range old {
		at := old[i].moved(motion)
		for j := range new {
			if p, ok := matched(&old[i], at, &new[j], within); ok {
				all = append(all, p)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b pair) int { return cmp.Compare(b.shared, a.shared) })
	var out []pair
	for _, p := range all {
		if !slices.ContainsFunc(out, func(q pair) bool { return q.old == p.old || q.new == p.new }) {
			out = append(out, p)
		}
	}
	return out
}

func matched(old *patch, at patch, new *patch, within slack) (pair, bool) {
	if r3.Dot(at.plane.Normal, new.plane.Normal) < math.Cos(within.turn) ||
		math.Abs(at.plane.Distance(new.centre)) > within.offset {
		return pair{}, false
	}
	frame := new.plane.Frame(new.centre)
	s := shared(&at, new, frame)
	if s < leastShared*min(old.area, new.area) || s == 0 {
		return pair{}, false
	}
	return pair{old: old, new: new, at: at, frame: frame, shared: s}, true
}

// area is what all pairs share, mm^2.
func area(all []pair) float64 {
	sum := 0.0
	for i := range all {
		sum += all[i].shared
	}
	return sum
}

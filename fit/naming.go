package fit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// numbered is the n-th of several things of one name, counted from 1.
func numbered(name string, n int) string { return fmt.Sprintf("%s-%d", name, n) }

// nameAround numbers the objects of one kind that have no name yet, by their
// azimuth about the base, so that a second map of the same cell gives the same
// names.
func nameAround(objects []Object, where func(*Object) r3.Vec) {
	slices.SortStableFunc(objects, func(a, b Object) int {
		return byAzimuth(where(&a), where(&b))
	})
	n := 0
	for i := range objects {
		if objects[i].Name == "" {
			n++
			objects[i].Name = numbered(string(objects[i].Kind), n)
		}
	}
}

// firstAzimuth is where counting about the base begins, rad: not at the back, at
// 180 degrees, where a wall square to the base stands, which a hundredth of a
// degree would make now the first and now the last.
const firstAzimuth = -160 * math.Pi / 180

// byAzimuth orders places by their azimuth about the base, then by height.
func byAzimuth(p, q r3.Vec) int {
	return cmp.Or(cmp.Compare(azimuth(p), azimuth(q)), cmp.Compare(p.Z, q.Z))
}

// azimuth of a place about the base, from firstAzimuth on.
func azimuth(p r3.Vec) float64 {
	a := math.Atan2(p.Y, p.X)
	if a < firstAzimuth {
		a += 2 * math.Pi
	}
	return a
}

// origin is where an object's datum stands.
func origin(o *Object) r3.Vec { return o.Pose.T }

// sortedBy returns a copy of the indices in ascending order of key; equal keys
// keep their order.
func sortedBy(of []int, key func(int) float64) []int {
	out := slices.Clone(of)
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(key(a), key(b)) })
	return out
}

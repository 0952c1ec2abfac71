package flat

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Hull is the convex hull of pts, counter-clockwise from the leftmost, without
// points on its edges (Andrew, Inf. Proc. Letters 9 (1979) 216). Of points on
// one line it returns the two ends, of a single place one. pts is left as it is.
func Hull(pts []r2.Vec) []r2.Vec {
	s := slices.Clone(pts)
	slices.SortFunc(s, func(a, b r2.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	s = slices.Compact(s)
	if len(s) < 3 {
		return s
	}
	lower := chain(s)
	slices.Reverse(s)
	upper := chain(s)
	return append(lower[:len(lower)-1], upper[:len(upper)-1]...)
}

// chain keeps the points of s, which are in order, at which the way along them
// turns left.
func chain(s []r2.Vec) []r2.Vec {
	var c []r2.Vec
	for _, p := range s {
		for len(c) > 1 && r2.Cross(r2.Sub(c[len(c)-1], c[len(c)-2]), r2.Sub(p, c[len(c)-1])) <= 0 {
			c = c[:len(c)-1]
		}
		c = append(c, p)
	}
	return c
}

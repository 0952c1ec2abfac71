package scene

import (
	"cmp"
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// halve splits a set of two or more across one of its principal axes, where its
// members end up in least space on average: the volume of a block of even
// density with the same second moments, plus half a cell on each side.
func (g grid) halve(set []geom.Bounds) (a, b []geom.Bounds) {
	var all geom.Moments
	for _, v := range set {
		all.Add(boxOf(v).Pose.T, 1)
	}
	_, axes := all.Scatter.Eigen()
	least := math.Inf(1)
	for k := range 3 {
		sorted := slices.Clone(set)
		axis := axes.Axis(k)
		slices.SortStableFunc(sorted, func(p, q geom.Bounds) int {
			return cmp.Compare(r3.Dot(axis, boxOf(p).Pose.T), r3.Dot(axis, boxOf(q).Pose.T))
		})
		if at, v := g.cheapest(sorted); v < least {
			least, a, b = v, sorted[:at], sorted[at:]
		}
	}
	return a, b
}

// cheapest is where to cut a sorted set, and the sum over its members of the
// volume that the part of each fills then.
func (g grid) cheapest(sorted []geom.Bounds) (at int, least float64) {
	n := len(sorted)
	before := make([]float64, n) // filled by the first i
	var m geom.Moments
	for i, v := range sorted {
		before[i] = g.fills(m)
		m.Add(boxOf(v).Pose.T, 1)
	}
	least = math.Inf(1)
	m = geom.Moments{}
	for i := n - 1; i > 0; i-- {
		m.Add(boxOf(sorted[i]).Pose.T, 1)
		if v := before[i] + g.fills(m); v < least {
			at, least = i, v
		}
	}
	return at, least
}

// fills is the number of members times the volume of the block with their
// moments m, grown by half a cell. A side of a block of even density is sqrt(12)
// standard deviations long.
func (g grid) fills(m geom.Moments) float64 {
	if m.N == 0 {
		return 0
	}
	w, _ := m.Scatter.Eigen()
	v := m.N
	for _, s := range w {
		v *= math.Sqrt(12*max(s, 0)/m.N) + float64(g)
	}
	return v
}

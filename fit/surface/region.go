package surface

import (
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// region is a set of spots that lie in one plane.
type region struct {
	plane        geom.Plane
	members      []int32 // indices of spots, ascending once it is grown
	geom.Moments         // of the members, weighted by 1/variance
	points       float64
}

// add takes a spot in.
func (r *region) add(i int32, s *spot) {
	r.members = append(r.members, i)
	r.Merge(s.Weighted(1 / s.variance()))
	r.points += s.N
}

// merge takes all of o in.
func (r *region) merge(o *region) {
	r.members = append(r.members, o.members...)
	slices.Sort(r.members)
	r.Merge(o.Moments)
	r.points += o.points
	r.plane = r.fit()
}

// excess is how far the mean square of n residuals may exceed their variance:
// it scatters by sqrt(2/n) of itself. Noise is correlated within a voxel, so n
// counts voxels rather than points.
func excess(n int) float64 { return 1 + within*math.Sqrt(2/float64(n)) }

// fit is the total least-squares plane of the region, its normal kept to the
// side it was on.
func (r *region) fit() geom.Plane {
	pl, _ := r.Moments.Plane()
	if r3.Dot(pl.Normal, r.plane.Normal) < 0 {
		pl = geom.Plane{Normal: r3.Scale(-1, pl.Normal), Offset: -pl.Offset}
	}
	return pl
}

// sound tells whether the region has enough members, and spreads in two
// directions: a strip no wider than the band of noise may be cut out of
// something else. A width w has the variance w^2/12.
func (r *region) sound() bool {
	if len(r.members) < seedSpots || r.points < seedPoints {
		return false
	}
	_, w := r.Moments.Plane()
	band := 4 * within * within * r.points / r.N // its width squared
	return 12*w[1] > max(leaf*leaf, band)
}

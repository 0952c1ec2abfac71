package evidence

import (
	"math"

	"cellwall/fit"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Flat tells whether an object is a plane of the room: a floor, a wall or a
// ceiling. Its datum's origin is the foot of the base's origin on it, so that X,
// Y and Z say little, and its Distance says where it is.
func Flat(o *scene.Object) bool {
	return o.Kind == fit.Floor || o.Kind == fit.Wall || o.Kind == fit.Ceiling
}

// Distance of a plane from the base's origin, mm, with its standard uncertainty:
// that of the datum's origin along the normal.
func Distance(o *scene.Object) fit.Measure {
	n := o.Pose.R.Axis(2)
	v := [3]float64{n.X, n.Y, n.Z}
	sum := 0.0
	for i := range v {
		for j := range v {
			sum += v[i] * o.Cov[i][j] * v[j]
		}
	}
	return fit.Measure{Value: r3.Norm(o.Pose.T), Sigma: math.Sqrt(max(sum, 0))}
}

package touch

import (
	"fmt"
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// leastAngle between the two directions of a frame from three points: below it
// the third says more of its own error than of the plane.
const leastAngle = 5 * math.Pi / 180

// Frame is baseFromFrame from three touched points: the first is the origin, the
// second lies on +X, the third in the XY plane on the side of +Y. The covariance
// is propagated from the points' own (JCGM 100:2008, 5.2.2; central differences).
// Points that lie in one line are refused.
func Frame(p [3]Point) (geom.Pose, geom.Cov6, error) {
	at := [3]r3.Vec{p[0].At, p[1].At, p[2].At}
	pose, err := frameOf(at)
	if err != nil {
		return geom.Pose{}, geom.Cov6{}, fmt.Errorf("%s, %s, %s: %w", p[0].Name, p[1].Name, p[2].Name, err)
	}
	var cov geom.Cov6
	for i := range at {
		for k := range 3 {
			const h = 1e-3 // mm; rounding then costs about 1e-9 of a derivative
			axis := r3.Scale(h, geom.IdentityRot().Axis(k))
			up, down := at, at
			up[i], down[i] = r3.Add(at[i], axis), r3.Sub(at[i], axis)
			a, err1 := frameOf(up)
			b, err2 := frameOf(down)
			if err1 != nil || err2 != nil {
				return geom.Pose{}, geom.Cov6{}, fmt.Errorf("%s, %s, %s: too nearly in one line", p[0].Name, p[1].Name, p[2].Name)
			}
			da, db := a.Minus(pose), b.Minus(pose)
			for r := range 6 {
				for s := range 6 {
					cov[r][s] += p[i].Sigma * p[i].Sigma * (da[r] - db[r]) * (da[s] - db[s]) / (4 * h * h)
				}
			}
		}
	}
	return pose, cov, nil
}

func frameOf(p [3]r3.Vec) (geom.Pose, error) {
	a, b := r3.Sub(p[1], p[0]), r3.Sub(p[2], p[0])
	across := r3.Norm(r3.Cross(a, b))
	if across == 0 || math.Atan2(across, math.Abs(r3.Dot(a, b))) < leastAngle {
		return geom.Pose{}, fmt.Errorf("the three points lie in one line to within %.0f°, so the turn about it is open; take the third aside of the line",
			leastAngle*180/math.Pi)
	}
	x, z := r3.Unit(a), r3.Unit(r3.Cross(a, b))
	return geom.Pose{R: geom.RotFromAxes(x, r3.Cross(z, x), z), T: p[0]}, nil
}

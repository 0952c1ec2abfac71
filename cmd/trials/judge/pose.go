package judge

import (
	"math"
	"slices"

	"cellwall/fit"
	"cellwall/fixtures"
	"cellwall/scene"

	"gonum.org/v1/gonum/spatial/r3"
)

// Pose is the error of an object's datum, in the true datum's axes, translation
// first, mm and rad, and over its stated sigma.
type Pose struct {
	Name     string
	Kind     fit.Kind
	Off      [6]float64
	PerSigma [6]float64
}

// Wrong tells whether anything of the datum is off by more sigmas than a datum may be.
func (p Pose) Wrong() bool {
	return slices.ContainsFunc(p.PerSigma[:], func(z float64) bool { return !(math.Abs(z) <= wrongSigmas) })
}

// poses compares the datums of the objects of which the truth has one under the
// same name, vises apart.
func poses(s *scene.Scene, shop *fixtures.Shop) []Pose {
	var out []Pose
	for i := range s.Objects {
		o := &s.Objects[i]
		truth, ok := shop.Truth.Object(o.Name)
		if !ok || truth.Pose == nil || o.Kind == fit.Vise {
			continue
		}
		p := Pose{Name: o.Name, Kind: o.Kind}
		d := o.Pose.Minus(*truth.Pose)
		turned := o.Cov.Turned(truth.Pose.R.T())
		shift := truth.Pose.R.T().Apply(r3.Vec{X: d[0], Y: d[1], Z: d[2]})
		turn := truth.Pose.R.T().Apply(r3.Vec{X: d[3], Y: d[4], Z: d[5]})
		p.Off = [6]float64{shift.X, shift.Y, shift.Z, turn.X, turn.Y, turn.Z}
		for k := range p.Off {
			p.PerSigma[k] = p.Off[k] / math.Sqrt(turned[k][k])
		}
		out = append(out, p)
	}
	return out
}

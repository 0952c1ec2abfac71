package arm

import (
	"fmt"
	"math"
)

// limitSlack, rad, is what rounding from the degrees of a file may add: a
// joint that stands at its very limit is within it.
const limitSlack = 1e-9

// Within returns an error that names the first joint of q (rad, as the
// controller counts them) that is not a number or lies outside its limits, or
// says that q has the wrong length.
func (a *Arm) Within(q []float64) error {
	if len(q) != len(a.Joints) {
		return fmt.Errorf("%d joint angles for an arm of %d joints", len(q), len(a.Joints))
	}
	for i, j := range a.Joints {
		if !(q[i] >= j.Min-limitSlack && q[i] <= j.Max+limitSlack) { // also catches NaN
			return fmt.Errorf("joint %d at %.6g deg, outside its limits of %.6g to %.6g deg",
				i+1, degrees(q[i]), degrees(j.Min), degrees(j.Max))
		}
	}
	return nil
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }

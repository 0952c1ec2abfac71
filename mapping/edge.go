package mapping

import "math"

// A ray that meets an edge gives a range between the near and the far surface: a
// mixed point, which hangs in the air. It differs from a true point by three
// marks together: it fits no run of its profile, neither before nor behind it;
// neighbours on both sides stand off from it, one nearer and one farther; and
// it stands alone. A wall seen at grazing angle makes steps as large, but they
// run on; the last point before an edge fits the run that ends there; a wire
// before a wall has no neighbour nearer than itself.
const (
	// fitSigmas is how far a point may bend off a straight run, in deviations of
	// such bends: one true point in 16 000 lies beyond.
	fitSigmas = 4.0
	// limbGrowth is how much a step along the ray may exceed the one before it on
	// a smooth body: toward the limb of a round one depth goes as the root of the
	// distance from the limb, whose last two even steps stand as 1 to sqrt(2)-1.
	limbGrowth = 2.5
	// gentle is the slope of a run, along the ray per sideways, that three points
	// in line are enough for: beyond 70 degrees of incidence returns fail (common
	// practice), so a steeper trio is a step with a point in it.
	gentle = 2.75
	// mixedReach is how many points away a mixed point's near and far surface may
	// begin: a ray's footprint covers one or two steps of the line.
	mixedReach = 2
)

// markMixed sets the fate of every mixed point of the profile to EdgePoint.
// bends is the deviation of bends between neighbours.
func (f *profile) markMixed(fate []Reason, bends Noise) {
	n := len(f.v)
	if n < 4 {
		return
	}
	f.joints(bends)
	for i := range n {
		if !f.supported(i) && f.hangs(i, fitSigmas*bends.Sigma(f.r[i])) {
			fate[f.at[i]] = EdgePoint
		}
	}
}

// joint says how three successive points hang together.
type joint uint8

const (
	apart    joint = iota // a jump on one side of the middle one
	smooth                // they may belong to one smooth body
	straight              // in line, and not so steep that the line may be a jump's
)

// joints fills f.joint for the trio round every point.
func (f *profile) joints(bends Noise) {
	f.joint = f.joint[:0]
	for i := range f.v {
		f.joint = append(f.joint, f.jointAt(i, fitSigmas*bends.Sigma(f.r[i])))
	}
}

func (f *profile) jointAt(i int, tol float64) joint {
	b := f.bend[i]
	if math.IsNaN(b) {
		return apart
	}
	before, after := f.slope(i-1), f.slope(i)
	if math.Abs(b) <= tol {
		if math.Abs(before+after) <= 2*gentle {
			return straight
		}
		return smooth
	}
	if before*after <= 0 {
		return apart
	}
	small, large := math.Abs(before), math.Abs(after)
	if small > large {
		small, large = large, small
	}
	if large <= limbGrowth*small {
		return smooth
	}
	return apart
}

// slope is the step along the ray per step sideways between points i and i+1.
func (f *profile) slope(i int) float64 {
	return (f.r[i+1] - f.r[i]) * math.Max(f.r[i], f.r[i+1]) / f.side[i]
}

// supported tells whether point i belongs to a run: three points in line, or
// four that follow each other smoothly.
func (f *profile) supported(i int) bool {
	for j := max(i-1, 0); j <= min(i+1, len(f.joint)-1); j++ {
		if f.joint[j] == straight {
			return true
		}
	}
	for j := max(i-2, 0); j <= min(i+1, len(f.joint)-2); j++ {
		if f.joint[j] != apart && f.joint[j+1] != apart {
			return true
		}
	}
	return false
}

// hangs tells whether point i lies more than tol behind a neighbour on one side
// and before a neighbour on the other.
func (f *profile) hangs(i int, tol float64) bool {
	nearBefore, farBefore := f.beside(i, -1)
	nearAfter, farAfter := f.beside(i, 1)
	r := f.r[i]
	return nearBefore < r-tol && farAfter > r+tol || farBefore > r+tol && nearAfter < r-tol
}

// beside is the least and the greatest range of the points next to i on one
// side.
func (f *profile) beside(i, step int) (near, far float64) {
	near, far = math.Inf(1), math.Inf(-1)
	for j, n := i+step, 0; n < mixedReach && j >= 0 && j < len(f.r); j, n = j+step, n+1 {
		near, far = min(near, f.r[j]), max(far, f.r[j])
	}
	return near, far
}

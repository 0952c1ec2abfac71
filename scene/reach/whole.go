package reach

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"cellwall/mapping/cores"
	"cellwall/scene/distance"
)

// Limits of the joints, rad, within which the whole reach is meant.
type Limits struct{ Lo, Hi []float64 }

// Limits of the arm's own file. A joint that can turn all round is taken once
// round.
func (c *Checker) Limits() Limits {
	var l Limits
	for _, j := range c.arm.Joints {
		lo, hi := j.Min, j.Max
		if hi-lo >= 2*math.Pi {
			lo, hi = -math.Pi, math.Pi
		}
		l.Lo, l.Hi = append(l.Lo, lo), append(l.Hi, hi)
	}
	return l
}

// Same tells whether both are the same limits.
func (l Limits) Same(o Limits) bool { return slices.Equal(l.Lo, o.Lo) && slices.Equal(l.Hi, o.Hi) }

// Restrict narrows joint (from 1) to lo to hi, rad. It fails where that is no
// range within the limits.
func (l *Limits) Restrict(joint int, lo, hi float64) error {
	switch {
	case joint < 1 || joint > len(l.Lo):
		return fmt.Errorf("there is no joint %d; the robot has %d", joint, len(l.Lo))
	case !(lo < hi):
		return fmt.Errorf("joint %d: %.6g to %.6g deg is no range", joint, lo/degrees, hi/degrees)
	case !(lo >= l.Lo[joint-1]-rounding && hi <= l.Hi[joint-1]+rounding):
		return fmt.Errorf("joint %d: %.6g to %.6g deg is not within its limits of %.6g to %.6g deg", joint, lo/degrees, hi/degrees, l.Lo[joint-1]/degrees, l.Hi[joint-1]/degrees)
	}
	l.Lo[joint-1], l.Hi[joint-1] = lo, hi
	return nil
}

// ObjectReach is how near the arm can come to an object.
type ObjectReach struct {
	Object string
	// Clearance found at a posture within the limits, and the bound that no
	// posture goes under. Overlap is searched no further than that it is there.
	Clearance
	// Links that were found to touch it, and those that are neither known to touch
	// it nor certain not to.
	Links, Uncertain []string
}

// Within tells that the arm can touch the object: a posture was found.
func (o *ObjectReach) Within() bool { return o.Least <= 0 }

// Whole is the reach of an arm over all postures within limits: every object of
// the scene, nearest first.
func (c *Checker) Whole(ctx context.Context, l Limits) ([]ObjectReach, error) {
	var names []string
	bodies := map[string][]int{}
	for i, name := range c.objects {
		if bodies[name] == nil {
			names = append(names, name)
		}
		bodies[name] = append(bodies[name], i)
	}
	out := make([]ObjectReach, len(names))
	cores.Until(ctx, len(names), func(i int) { out[i] = c.nearest(names[i], bodies[names[i]], l) })
	slices.SortStableFunc(out, func(a, b ObjectReach) int { return cmp.Compare(a.Least, b.Least) })
	return out, ctx.Err()
}

// KeepOff is a limit of one joint that keeps the arm off an object.
type KeepOff struct {
	Joint  int     // from 1
	Lo, Hi float64 // rad
	Bound  float64 // certain clearance with it, mm
}

// widestLoss is the part of a joint's range that a suggested limit may take: less
// is left than a tenth, and the arm is of little use.
const widestLoss = 0.9

// KeepOffs suggests limits of single joints with which the arm certainly keeps
// the margin from the object: for each of the leading joints from either side,
// the widest range found by halving. None may do.
func (c *Checker) KeepOffs(object string, l Limits) ([]KeepOff, error) {
	var of []distance.Body
	for i, name := range c.objects {
		if name == object {
			of = append(of, c.bodies[i])
		}
	}
	if of == nil {
		return nil, fmt.Errorf("the scene has no object %q", object)
	}
	var out []KeepOff
	for joint := range min(leading, len(l.Lo)) {
		for _, upper := range [2]bool{true, false} {
			if k, ok := c.keepOff(of, l, joint, upper); ok {
				out = append(out, k)
			}
		}
	}
	return out, nil
}

// keepOff halves for the least part to take from the upper or lower end of the
// joint's range.
func (c *Checker) keepOff(of []distance.Body, l Limits, joint int, upper bool) (KeepOff, bool) {
	width := l.Hi[joint] - l.Lo[joint]
	try := func(loss float64) KeepOff {
		lo, hi := slices.Clone(l.Lo), slices.Clone(l.Hi)
		if upper {
			hi[joint] -= loss * width
		} else {
			lo[joint] += loss * width
		}
		return KeepOff{joint + 1, lo[joint], hi[joint], c.bound(c.moving, of, lo, hi)}
	}
	best := try(widestLoss)
	if best.Bound < c.Margin {
		return best, false
	}
	const halvings = 7 // to a hundredth of the range
	for low, high, n := 0.0, widestLoss, 0; n < halvings; n++ {
		mid := (low + high) / 2
		if k := try(mid); k.Bound >= c.Margin {
			best, high = k, mid
		} else {
			low = mid
		}
	}
	return best, true
}

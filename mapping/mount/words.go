package mount

import (
	"fmt"
	"math"
	"strings"

	"cellwall/mapping/align"
)

// Parts are the names of a Change's parts, in order.
var Parts = [align.Params]string{
	"shift along the flange's x", "shift along the flange's y", "shift along the flange's z",
	"turn about the flange's x", "turn about the flange's y", "turn about the flange's z",
	"latency",
}

// leastShare is the share of a direction from which on a part belongs to its
// name: smaller ones make a third of the largest at most.
const leastShare = 0.1

// String names the parts that the direction combines, the largest first.
func (v *Direction) String() string {
	var named []string
	taken := [align.Params]bool{}
	for range v.Unit {
		best := -1
		for k := range v.Unit {
			if share := v.share(k); !taken[k] && share >= leastShare && (best < 0 || share > v.share(best)) {
				best = k
			}
		}
		if best < 0 {
			break
		}
		taken[best] = true
		named = append(named, Parts[best])
	}
	switch n := len(named); n {
	case 1:
		return named[0]
	default:
		return strings.Join(named[:n-1], ", ") + " together with " + named[n-1]
	}
}

// share of part k in the direction, 0 to 1.
func (v *Direction) share(k int) float64 { return math.Abs(v.Unit[k] * v.read[k]) }

// untold is the sentence for a direction that the scans do not tell.
func (v *Direction) untold(advice string) string {
	how := "not observable"
	if v.Sigma < barely*leastTold {
		how = fmt.Sprintf("told to ±%.1f mm at a point only", 2*v.Sigma)
	}
	return fmt.Sprintf("%s: %s from these sweeps; %s", v, how, advice)
}

// worth is what a mount is worth solving to, by part: 0.3 mm, 0.03 degrees and
// half a millisecond, which move a gripper by some tenths.
var worth = Change{0.3, 0.3, 0.3, 0.03 * degree, 0.03 * degree, 0.03 * degree, 0.5e-3}

// Rough tells whether a direction that is told is so less well than a mount is
// worth solving to, at two sigma.
func (v *Direction) Rough() bool {
	for k, u := range v.Unit {
		if 2*v.Sigma*math.Abs(u) > worth[k] {
			return v.Told
		}
	}
	return false
}

// Within tells whether an error of that size in this direction is less than a
// mount is worth solving to.
func (v *Direction) Within(size float64) bool {
	for k, u := range v.Unit {
		if math.Abs(size*u) > worth[k] {
			return false
		}
	}
	return true
}

// roughly is the sentence for such a direction.
func (v *Direction) roughly(advice string) string {
	return fmt.Sprintf("%s: told to ±%s; to know it better, %s", v, v.most(), advice)
}

// most is two sigma of the part of which the direction holds most.
func (v *Direction) most() string {
	best := 0
	for k := range v.Unit {
		if v.share(k) > v.share(best) {
			best = k
		}
	}
	u := 2 * v.Sigma * math.Abs(v.Unit[best])
	switch {
	case best < 3:
		return fmt.Sprintf("%.2f mm", u)
	case best < 6:
		return fmt.Sprintf("%.3f deg", u/degree)
	}
	return fmt.Sprintf("%.1f ms", 1000*u)
}

// barely times the least deviation told is where a direction's deviation no
// longer means anything but that nothing tells it.
const barely = 10

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

// barely times the least deviation told is where a direction's deviation no
// longer means anything but that nothing tells it.
const barely = 10

package vise

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r3"
)

const baseRim = 30.0 // mm: how far round the jaws the level that they stand on is looked for

// height is how high the jaws stand above what they stand on: as given, or down
// to the highest level around them that lies low enough; or as low as their
// upright faces were seen to reach.
func (v *view) height(j *jaws, want Want) Measure {
	if want.Height > 0 {
		return Measure{want.Height, sizeTolerance}
	}
	j.height = tradeHeight[1]
	region := j.region().Grown(baseRim)
	region.Size.Z = 4 * tradeHeight[1]
	inv := j.pose.Inverse()
	var beds, deep []float64
	for i := range v.patches {
		p := &v.patches[i]
		if !region.Contains(p.Mean) {
			continue
		}
		q := inv.Apply(p.Mean)
		switch {
		case p.lies == level && q.Z < -tradeHeight[0] && q.Z > -tradeHeight[1] && !j.between(q):
			beds = append(beds, -q.Z)
		case p.lies == upright && q.Z < 0 && q.Z > -tradeHeight[1] && j.hugs(q, v.pitch):
			deep = append(deep, -q.Z)
		}
	}
	if h, ok := firstStep(beds); ok {
		return Measure{h, 0.5}
	}
	if len(deep) >= leastPatch {
		sort.Float64s(deep)
		return Measure{max(deep[len(deep)*95/100]+v.pitch/2, tradeHeight[0]), v.pitch / 2}
	}
	return Measure{tradeHeight[0], v.pitch}
}

// between tells whether q, in the jaw frame, lies in the gap: a part or
// parallels may lie there.
func (j *jaws) between(q r3.Vec) bool {
	return math.Abs(q.X) < j.size[width]/2 && q.Y > 0 && q.Y < j.size[opening]
}

// hugs tells whether q, in the jaw frame, lies on an upright face of a jaw.
func (j *jaws) hugs(q r3.Vec, within float64) bool {
	for _, moving := range []bool{false, true} {
		lo, hi := j.block(moving)
		dx := max(lo.X-q.X, q.X-hi.X)
		dy := max(lo.Y-q.Y, q.Y-hi.Y)
		if d := max(dx, dy); math.Abs(d) < within {
			return true
		}
	}
	return false
}

// firstStep is the least depth at which a fifth of the level patches lie
// together within 3 mm.
func firstStep(depths []float64) (float64, bool) {
	sort.Float64s(depths)
	need := max(len(depths)/5, leastPatch)
	for i := 0; i+need <= len(depths); i++ {
		if depths[i+need-1]-depths[i] < 3 {
			return depths[i+need/2], true
		}
	}
	return 0, false
}

package vise

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r3"
)

// told is which jaw is the fixed one, and how it was told.
type told struct {
	sure  bool
	other bool // the guess has them exchanged
	by    string
}

// The moving jaw is driven by a screw whose end sticks out of the vise's body on
// its side (common practice). Nothing else is taken as evidence: how far the
// body reaches past either jaw changes with the opening.
const (
	screwHalf   = 20.0  // mm: half the width of the lane in which a screw's end lies
	screwLeast  = 25.0  // mm: a shorter stub may be a nut or a chip
	screwOff    = 8.0   // mm: it lies on the vise's middle line
	flankGap    = 12.0  // mm: between the screw's lane and what is beside it
	aboveGround = 12.0  // mm: what is lower is the ground on which the vise stands
	laneStep    = 5.0   // mm
	laneLong    = 250.0 // mm
	laneBreak   = 2     // steps that may be missing in what hangs together
	leastGround = 8     // patches of ground beside the lane that show that it was in sight
)

// tell looks for the screw. It is sure only where one side has it and the other
// was seen not to.
func (v *view) tell(j *jaws) told {
	guessed, other := v.lane(j, true), v.lane(j, false)
	switch {
	case guessed.screw() && other.bare():
		return told{sure: true, by: "evidence"}
	case other.screw() && guessed.bare():
		return told{sure: true, other: true, by: "evidence"}
	}
	return told{}
}

// lane is what lies behind a jaw, step by step away from it.
type lane struct {
	core   []bool   // something stands on the ground in the middle
	beside [2][]int // patches of what stands beside the middle, on either side
	ground [2][]int // patches of ground there
	aside  []float64
}

// lane looks along Y behind the moving or the fixed jaw.
func (v *view) lane(j *jaws, moving bool) *lane {
	n := int(laneLong / laneStep)
	l := &lane{core: make([]bool, n), beside: [2][]int{make([]int, n), make([]int, n)}, ground: [2][]int{make([]int, n), make([]int, n)}}
	from, sense := -j.size[depthFixed], -1.0
	if moving {
		from, sense = j.size[opening]+j.size[depthMoving], 1
	}
	inv := j.pose.Inverse()
	behind := func(do func(q r3.Vec, step int, lies attitude)) {
		for i := range v.patches {
			q := inv.Apply(v.patches[i].Mean)
			if out := sense * (q.Y - from); out > 0 && out < laneLong && q.Z < -j.height+laneStep && q.Z > -j.height-tradeWidth[1] {
				do(q, int(out/laneStep), v.patches[i].lies)
			}
		}
	}
	half := j.size[width] / 2
	var levels []float64
	behind(func(q r3.Vec, _ int, lies attitude) {
		if x := math.Abs(q.X); lies == level && x > half && x < 2*half {
			levels = append(levels, q.Z)
		}
	})
	if len(levels) < leastGround {
		return l
	}
	sort.Float64s(levels)
	ground := levels[len(levels)/2]
	behind(func(q r3.Vec, step int, lies attitude) {
		x, stands, side := math.Abs(q.X), q.Z > ground+aboveGround, 0
		if q.X > 0 {
			side = 1
		}
		switch {
		case x < screwHalf && stands:
			l.core[step] = true
			l.aside = append(l.aside, q.X)
		case x > screwHalf+flankGap && x < half && stands:
			l.beside[side][step]++
		case x > screwHalf+flankGap && x < half && lies == level:
			l.ground[side][step]++
		}
	})
	return l
}

// flank tells whether the body reaches as far as the step. It lies on both sides and
// hides the ground on which it stands: where more was seen of that on one side, what
// stands there is a crank or a chip.
func (l *lane) flank(step int) bool {
	for side := range l.beside {
		if l.ground[side][step] > l.beside[side][step] {
			return false
		}
	}
	return l.beside[0][step]+l.beside[1][step] > 0
}

// bodyEnd is the step at which what stands beside the lane ends.
func (l *lane) bodyEnd() int {
	end := 0
	for step := range l.core {
		if l.flank(step) && step <= end+laneBreak {
			end = step + 1
		}
	}
	return end
}

// stub is how far the middle reaches past what is beside it, mm.
func (l *lane) stub() float64 {
	body := l.bodyEnd() + 1
	end := body
	for step := body; step < len(l.core); step++ {
		if l.core[step] && !l.flank(step) && step <= end+laneBreak {
			end = step + 1
		}
	}
	return float64(end-body) * laneStep
}

// inSight tells whether the ground beside the lane was seen past the body.
func (l *lane) inSight() bool {
	n, body := 0, l.bodyEnd()
	for step := body; step < min(body+int(3*screwLeast/laneStep), len(l.core)); step++ {
		n += l.ground[0][step] + l.ground[1][step]
	}
	return n >= leastGround
}

func (l *lane) screw() bool {
	return l.inSight() && l.stub() >= screwLeast && math.Abs(median(l.aside)) < screwOff
}

func (l *lane) bare() bool { return l.inSight() && l.stub() < laneStep }

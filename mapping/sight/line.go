package sight

import (
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Ray is one measured ray, base frame, mm.
type Ray struct {
	Eye   r3.Vec
	Along r3.Vec  // unit
	From  float64 // how far from the eye it begins to tell
	Clear float64 // how far from the eye nothing stands; 0 where that is not known
	Claim bool    // no return came back, which is taken to say so
}

// Line is rays that follow each other along the scanner's laser line. It keeps
// its memory from use to use.
type Line struct {
	Rays []Ray
	// Beside are the scanner's moves, base frame, from this line to the one
	// before it and to the one behind, of which the first and the last line of a
	// scan have but one.
	Beside []geom.Pose

	trust bool      // claims count
	turn  []float64 // angle from each ray to the next, rad
	limit []float64
}

// Reset empties the line.
func (l *Line) Reset() { l.Rays, l.Beside = l.Rays[:0], l.Beside[:0] }

const (
	// Vouchers is how many rays on each side must agree that a ray's way was
	// clear. A spot that falls on two surfaces has its near one within two rays
	// (mapping.mixedReach), and a false long range stands alone or, where false
	// ones are 1 in 100, next to another once in 10 000.
	Vouchers = 2
	// wide is how many times the usual angle between rays is a gap, in which
	// rays did not come back and were left out of the file.
	wide = 2.5
)

// Cross marks what the line's rays crossed. A ray counts as far as its
// neighbours on both sides vouch for it: a single false range reaches into no
// wall, and within a cube's width of a gap, where something may stand that gives
// no return, nothing is crossed. It counts where the rays beside it and the lines
// beside this one run within the grid's gap. Of rays that lie within the width of
// a cube one stands for all, as far as the shortest of them.
//
// Rays that claim that nothing stands there are missing ones for this; what they
// and those beside them cross besides is kept apart.
func (l *Line) Cross(g *Grid) {
	if len(l.Rays) <= 2*Vouchers || len(l.Beside) == 0 {
		return
	}
	l.trust = false
	l.cross(g, func(a, b r3.Vec) { g.walk(g.crossed, a, b) })
	if g.claims == nil {
		return
	}
	if l.trust = slices.ContainsFunc(l.Rays, func(r Ray) bool { return r.Claim }); l.trust {
		var ways [][2]r3.Vec
		l.cross(g, func(a, b r3.Vec) { ways = append(ways, [2]r3.Vec{a, b}) })
		g.claims.take(ways)
	}
}

// cross tells the ways that the rays crossed, from and to.
func (l *Line) cross(g *Grid, way func(a, b r3.Vec)) {
	l.shun(l.measure(g.gap), g.lattice.Edge)
	for i := 0; i < len(l.limit); {
		if l.limit[i] == 0 {
			i++
			continue
		}
		end, clear := l.bundle(i, g.lattice.Edge)
		r := &l.Rays[(i+end)/2]
		from, last := r.within(g.gap, l.Beside)
		if from, clear = max(from, l.from(i, end)), min(clear, last); from < clear {
			way(r3.Add(r.Eye, r3.Scale(from, r.Along)), r3.Add(r.Eye, r3.Scale(clear, r.Along)))
		}
		i = end
	}
}

// clear is how far ray i says that nothing stands.
func (l *Line) clear(i int) float64 {
	if r := &l.Rays[i]; !r.Claim || l.trust {
		return r.Clear
	}
	return 0
}

// from is from where on all of rays i to end, and those that vouch for them, tell.
func (l *Line) from(i, end int) (from float64) {
	for _, r := range l.Rays[i-Vouchers : end+Vouchers] {
		if l.trust || !r.Claim {
			from = max(from, r.From)
		}
	}
	return from
}

// bundle is where the rays from i on end that one ray stands for, and the least
// of how far they are vouched for: those before the first ray that is not, or
// that lies further than width from ray i. So the rays that are followed lie no
// further apart than width, where any two do not.
func (l *Line) bundle(i int, width float64) (end int, clear float64) {
	clear = l.limit[i]
	far, turned := clear, l.turn[i]
	for end = i + 1; end < len(l.limit) && l.limit[end] > 0; end++ {
		turned += l.turn[end] // to the ray behind this one
		if far = max(far, l.limit[end]); turned*far > width {
			break
		}
		clear = min(clear, l.limit[end])
	}
	return end, clear
}

// shun keeps off the gaps: a ray counts for nothing whose end lies within width
// of a missing ray's way, or of one that was left out between two rays turned by
// more than gap.
func (l *Line) shun(gap, width float64) {
	off := math.Inf(1) // angle since the last gap
	pass := func(i int, turn float64) {
		clear := l.clear(i)
		if off += turn; clear == 0 || !(turn <= gap) {
			off = 0
		}
		if off*clear < width {
			l.limit[i] = 0
		}
	}
	for i := 1; i < len(l.Rays); i++ {
		pass(i, l.turn[i-1])
	}
	off = math.Inf(1)
	for i := len(l.Rays) - 2; i >= 0; i-- {
		pass(i, l.turn[i])
	}
}

// measure finds the angles between the rays, how far each is vouched for where
// rays may run so far apart, mm, and what angle is a gap.
func (l *Line) measure(apart float64) (gap float64) {
	n := len(l.Rays)
	l.turn, l.limit = l.turn[:0], l.limit[:0]
	perTurn, turns := 0.0, 0.0
	for i := range n - 1 {
		t := math.NaN()
		if l.clear(i) > 0 && l.clear(i+1) > 0 {
			t = math.Sqrt(r3.Norm2(r3.Sub(l.Rays[i+1].Along, l.Rays[i].Along)))
			if t > 0 {
				perTurn += 1 / t
				turns++
			}
		}
		l.turn = append(l.turn, t)
	}
	gap = wide * turns / perTurn // the harmonic mean, which gaps do not lengthen
	for i := range n {
		l.limit = append(l.limit, l.vouched(i, gap, apart))
	}
	return gap
}

// vouched is the least range of the rays round ray i, or where the two beside it
// run apart; 0 where one of them is missing, at the ends of the line, and beside a
// gap.
func (l *Line) vouched(i int, gap, apart float64) float64 {
	if i < Vouchers || i >= len(l.Rays)-Vouchers {
		return 0
	}
	least := apart / max(l.turn[i-1], l.turn[i])
	for k := i - Vouchers; k <= i+Vouchers; k++ {
		if k < i+Vouchers && !(l.turn[k] <= gap) { // NaN beside a missing ray
			return 0
		}
		least = min(least, l.clear(k))
	}
	return least
}

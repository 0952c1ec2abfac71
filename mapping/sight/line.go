package sight

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Ray is one measured ray, base frame, mm.
type Ray struct {
	Eye   r3.Vec
	Along r3.Vec  // unit
	Clear float64 // how far from the eye nothing stands, as its own return tells; 0 where none came back
}

// Line is rays that follow each other along the scanner's laser line. It keeps
// its memory from use to use.
type Line struct {
	Rays  []Ray
	turn  []float64 // angle from each ray to the next, rad
	limit []float64
}

// Reset empties the line.
func (l *Line) Reset() { l.Rays = l.Rays[:0] }

const (
	// vouchers is how many rays on each side must agree that a ray's way was
	// clear. A spot that falls on two surfaces has its near one within two rays
	// (mapping.mixedReach), and a false long range stands alone or, where false
	// ones are 1 in 100, next to another once in 10 000.
	vouchers = 2
	// wide is how many times the usual angle between rays is a gap, in which
	// rays did not come back and were left out of the file.
	wide = 2.5
)

// Cross marks what the line's rays crossed. A ray counts as far as its
// neighbours on both sides vouch for it: a single false range reaches into no
// wall, and within a cube's width of a gap, where something may stand that gives
// no return, nothing is crossed. Of rays that lie within the width of a cube one
// stands for all, as far as the shortest of them.
func (l *Line) Cross(g *Grid) {
	if len(l.Rays) <= 2*vouchers {
		return
	}
	l.shun(l.measure(), g.lattice.Edge)
	for i := 0; i < len(l.limit); {
		if l.limit[i] == 0 {
			i++
			continue
		}
		end, clear := l.bundle(i, g.lattice.Edge)
		r := &l.Rays[(i+end)/2]
		g.Walk(r.Eye, r3.Add(r.Eye, r3.Scale(clear, r.Along)))
		i = end
	}
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
		if off += turn; l.Rays[i].Clear == 0 || !(turn <= gap) {
			off = 0
		}
		if off*l.Rays[i].Clear < width {
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

// measure finds the angles between the rays, how far each is vouched for, and
// what angle is a gap.
func (l *Line) measure() (gap float64) {
	n := len(l.Rays)
	l.turn, l.limit = l.turn[:0], l.limit[:0]
	perTurn, turns := 0.0, 0.0
	for i := range n - 1 {
		t := math.NaN()
		if a, b := &l.Rays[i], &l.Rays[i+1]; a.Clear > 0 && b.Clear > 0 {
			t = math.Sqrt(r3.Norm2(r3.Sub(b.Along, a.Along)))
			if t > 0 {
				perTurn += 1 / t
				turns++
			}
		}
		l.turn = append(l.turn, t)
	}
	gap = wide * turns / perTurn // the harmonic mean, which gaps do not lengthen
	for i := range n {
		l.limit = append(l.limit, l.vouched(i, gap))
	}
	return gap
}

// vouched is the least range of the rays round ray i; 0 where one of them is
// missing, at the ends of the line, and beside a gap.
func (l *Line) vouched(i int, gap float64) float64 {
	if i < vouchers || i >= len(l.Rays)-vouchers {
		return 0
	}
	least := math.Inf(1)
	for k := i - vouchers; k <= i+vouchers; k++ {
		if k < i+vouchers && !(l.turn[k] <= gap) { // NaN beside a missing ray
			return 0
		}
		least = min(least, l.Rays[k].Clear)
	}
	return least
}

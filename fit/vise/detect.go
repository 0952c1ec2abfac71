package vise

import (
	"math"
	"slices"
	"sort"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// guess is a hypothesis: two jaws, near enough to start a fit from. Which of
// the two is the fixed one is still open.
type guess struct {
	jaws
	score float64
}

const (
	ringGap  = 3.0 // mm: a top must end; a ring from this far outside it
	ringWide = 6.0 // mm: and this wide must be free of points in its plane

	// closedPixels: the tops of closed jaws may overlap by the rounding of both to
	// pixels, and by how far each may slide into what its ring leaves out. They are
	// found, to say what keeps them from being located.
	closedPixels = 1.5 + ringGap/finestPitch/planPixels

	leastJawScore  = 0.25 // of a single top: a third seen, and cleanly ended
	leastPairScore = 0.30
	tellApart      = 12.0 // mm: guesses nearer than this are one
	mostGuesses    = 8    // a search that yields more has found a pattern, not vises
)

// detect lists pairs of level rectangles that may be the jaws, the best first.
func detect(v *view, want Want) []guess {
	var all []guess
	layers := v.layers()
	for i := range layers {
		l := &layers[i]
		for _, bearing := range l.bearings(v) {
			p := l.plan(v, bearing)
			if p == nil {
				continue
			}
			all = append(all, p.pairs(want)...)
			all = append(all, p.turned().pairs(want)...)
		}
	}
	all = distinct(slices.DeleteFunc(all, func(g guess) bool { return !want.meant(g.middle()) }))
	return all[:min(len(all), mostGuesses)]
}

// top is a level rectangle that may be a jaw's.
type top struct {
	span
	score float64
}

// pairs lists the pairs of tops that face each other across Y.
func (p *plan) pairs(want Want) []guess {
	var out []guess
	tops := p.tops(want)
	for i, a := range tops {
		for _, b := range tops[i+1:] {
			if b.y0 < a.y0 {
				a, b = b, a
			}
			if s, ok := p.pair(a, b); ok {
				out = append(out, p.guess(a, b, s))
			}
		}
	}
	return distinct(out)
}

// pair scores two tops as jaws; ok is false where they are none.
func (p *plan) pair(a, b top) (float64, bool) {
	gap := float64(b.y0-a.y1) * p.pixel
	off := math.Abs(float64(a.x0+a.x1-b.x0-b.x1)) / 2 * p.pixel
	wider := math.Abs(float64(a.x1-a.x0-b.x1+b.x0)) * p.pixel
	if gap < -closedPixels*p.pixel || gap > tradeTravel[1] || off > 2*p.pixel || wider > 3*p.pixel {
		return 0, false
	}
	between := span{max(a.x0, b.x0) + 1, a.y1 + 1, min(a.x1, b.x1) - 1, b.y0 - 1}
	// On the side of the gap a top need not end: the other, or a part, may adjoin it.
	a.score += 0.5 * p.share(p.on, p.above(a.span))
	b.score += 0.5 * p.share(p.on, p.below(b.span))
	score := (a.score+b.score)/2 - 0.5*p.share(p.on, between) - 0.02*(off+wider)/p.pixel
	return score, score >= leastPairScore
}

// guess is the pair in base.
func (p *plan) guess(a, b top, score float64) guess {
	mm := func(px int) float64 { return float64(px) * p.pixel }
	g := guess{score: score}
	mid := mm(a.x0+a.x1+b.x0+b.x1) / 4
	g.pose = geom.Pose{R: p.pose.R, T: p.pose.Apply(r3.Vec{X: mid, Y: mm(a.y1)})}
	g.size[opening] = mm(b.y0 - a.y1)
	g.size[width] = mm(a.x1-a.x0+b.x1-b.x0) / 2
	g.size[depthFixed], g.size[depthMoving] = mm(a.y1-a.y0), mm(b.y1-b.y0)
	return g
}

// tops lists the rectangles of the wanted or of plausible size that are well
// filled and end where they should.
func (p *plan) tops(want Want) []top {
	var kept []top
	for _, s := range p.sizes(want) {
		var all []top
		for y := 0; y+s[1] <= p.ny; y++ {
			for x := 0; x+s[0] <= p.nx; x++ {
				t := top{span: span{x, y, x + s[0], y + s[1]}}
				if t.score = p.score(t.span); t.score >= leastJawScore {
					all = append(all, t)
				}
			}
		}
		kept = append(kept, p.best(all)...) // of each size: two jaws with little between look like one top, too
	}
	return kept
}

// score of a rectangle as a jaw's top: the part that was seen, less twice the
// part that rays went through, less what lies in its plane just outside.
func (p *plan) score(s span) float64 {
	seen := p.share(p.on, s)
	if seen < leastJawScore {
		return 0
	}
	return seen - 2*p.share(p.passed, s) - 0.5*p.rings(s)
}

// rings sums, over the four sides, the part of the ring outside that has points
// in the plane.
func (p *plan) rings(s span) float64 {
	g, w := p.ring()
	return p.share(p.on, span{s.x0 - g - w, s.y0, s.x0 - g, s.y1}) +
		p.share(p.on, span{s.x1 + g, s.y0, s.x1 + g + w, s.y1}) +
		p.share(p.on, p.below(s)) + p.share(p.on, p.above(s))
}

// ring is how far off and how wide the ring round a rectangle is, in pixels.
func (p *plan) ring() (gap, wide int) {
	return int(math.Ceil(ringGap / p.pixel)), int(math.Ceil(ringWide / p.pixel))
}

// below and above are the sides of the ring across Y.
func (p *plan) below(s span) span {
	g, w := p.ring()
	return span{s.x0, s.y0 - g - w, s.x1, s.y0 - g}
}

func (p *plan) above(s span) span {
	g, w := p.ring()
	return span{s.x0, s.y1 + g, s.x1, s.y1 + g + w}
}

// best keeps, of tops that overlap by more than half, the best.
func (p *plan) best(all []top) []top {
	sort.SliceStable(all, func(a, b int) bool { return all[a].score > all[b].score })
	var kept []top
	for _, t := range all {
		alone := true
		for _, k := range kept {
			alone = alone && 2*t.overlap(k.span) < min(t.count(), k.count())
		}
		if alone {
			kept = append(kept, t)
		}
	}
	return kept
}

func (s span) count() int { return (s.x1 - s.x0) * (s.y1 - s.y0) }

func (s span) overlap(t span) int {
	dx, dy := min(s.x1, t.x1)-max(s.x0, t.x0), min(s.y1, t.y1)-max(s.y0, t.y0)
	return max(dx, 0) * max(dy, 0)
}

// distinct keeps the best of guesses that lie on the same place.
func distinct(all []guess) []guess {
	sort.SliceStable(all, func(a, b int) bool { return all[a].score > all[b].score })
	var kept []guess
	for _, g := range all {
		alone := true
		for _, k := range kept {
			alone = alone && r3.Norm(r3.Sub(g.middle(), k.middle())) > tellApart
		}
		if alone {
			kept = append(kept, g)
		}
	}
	return kept
}

// middle of the gap at the height of the tops, base.
func (j *jaws) middle() r3.Vec {
	return j.pose.Apply(r3.Vec{X: j.size[sideways] / 2, Y: j.size[opening] / 2})
}

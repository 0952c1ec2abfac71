package vise

import (
	"math"
	"slices"
	"sort"

	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// A bearing is a direction in a layer's plane as an angle about its normal, modulo a
// right angle: jaws are rectangles. What stands upright below the rim of a top votes
// for the one in which the top lies.

// votes are cast over a right angle.
type votes [90]float64

const (
	voteSpread  = 3.5                    // bins to either side over which a vote falls to nothing
	sameBearing = 1.5 * math.Pi / 180    // rad: a fit that starts this far off ends up right
	perBin      = math.Pi / 2 / numVotes // rad
	numVotes    = float64(len(votes{}))
)

// bearings lists those of the layer's upright surroundings, the strongest first,
// then the strongest of each of its seeds by itself where that is another: two vises
// on one table are turned each its own way, and one was seen better than the other.
// Among larger patches a seed below which nothing upright was in sight goes by its
// own rim.
func (l *layer) bearings(v *view) []float64 {
	of := map[int32]int{} // patch: its seed
	for s, seed := range l.seeds {
		for _, k := range seed {
			of[k] = s
		}
	}
	var all votes
	each := make([]votes, len(l.seeds))
	for i := range v.patches {
		p := &v.patches[i]
		if p.lies != upright {
			continue
		}
		if seeds, borders := l.borders(v, p, of); borders {
			n := l.pose.R.T().Apply(p.normal)
			all.cast(math.Atan2(n.Y, n.X), 1)
			for _, s := range seeds {
				each[s].cast(math.Atan2(n.Y, n.X), 1)
			}
		}
	}
	out := all.peaks()
	for s := range each {
		if len(l.seeds[s]) > largestTop(v.pitch) {
			continue
		}
		own := each[s].peaks()
		if len(own) == 0 && v.apart {
			own = l.rim(v, l.seeds[s]).peaks()
		}
		if len(own) > 0 && !near(own[0], out) {
			out = append(out, own[0])
		}
	}
	return out
}

// largestTop is how many patches the top of the largest jaw has.
func largestTop(pitch float64) int { return int(tradeWidth[1] * tradeDepth[1] / (pitch * pitch)) }

// near tells whether a bearing is one of those listed.
func near(b float64, listed []float64) bool {
	for _, c := range listed {
		if math.Abs(math.Remainder(b-c, math.Pi/2)) < sameBearing {
			return true
		}
	}
	return false
}

// borders tells whether the upright patch lies below the layer and under the
// brim of something level in it, and of which seeds that is.
func (l *layer) borders(v *view, p *patch, of map[int32]int) (seeds []int, found bool) {
	d := r3.Sub(p.Mean, l.pose.T)
	h := r3.Dot(d, l.pose.R.Axis(2))
	if h > -v.pitch/2 || h < -tradeHeight[1] || r3.Norm(d) > l.reach() {
		return nil, false
	}
	foot := v.cell(r3.Sub(p.Mean, r3.Scale(h, l.pose.R.Axis(2))))
	v.near(foot, 2, func(k int32) {
		q := &v.patches[k]
		if q.lies != level || math.Abs(r3.Dot(l.pose.R.Axis(2), r3.Sub(q.Mean, l.pose.T))) >= 0.4*v.pitch {
			return
		}
		found = true
		if s, ok := of[k]; ok && !slices.Contains(seeds, s) {
			seeds = append(seeds, s)
		}
	})
	return seeds, found
}

// rim has the outline of the seed vote, each side by its length.
func (l *layer) rim(v *view, seed []int32) *votes {
	var flatPoints []r2.Vec
	inv := l.pose.Inverse()
	for _, k := range seed {
		q := inv.Apply(v.patches[k].Mean)
		flatPoints = append(flatPoints, r2.Vec{X: q.X, Y: q.Y})
	}
	var out votes
	hull := flat.Hull(flatPoints)
	for i, a := range hull {
		side := r2.Sub(hull[(i+1)%len(hull)], a)
		out.cast(math.Atan2(side.Y, side.X), r2.Norm(side))
	}
	return &out
}

// cast spreads a vote of some weight for an angle, in a triangle.
func (y *votes) cast(angle, weight float64) {
	at := math.Mod(angle+4*math.Pi, math.Pi/2) / perBin
	n := len(y)
	for k := -3; k <= 3; k++ {
		b := int(math.Floor(at)) + k
		y[(b+n)%n] += weight * max(0, 1-math.Abs(float64(b)+0.5-at)/voteSpread)
	}
}

// peaks are the local maxima that have a fifth of the strongest one's votes,
// refined by a parabola, in radians.
func (y *votes) peaks() []float64 {
	n := len(y)
	type peak struct{ at, votes float64 }
	var all []peak
	for i, c := range y {
		a, b := y[(i+n-1)%n], y[(i+1)%n]
		if c > a && c >= b {
			all = append(all, peak{float64(i) + 0.5 + 0.5*(a-b)/(a-2*c+b), c})
		}
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].votes > all[b].votes })
	var out []float64
	for _, p := range all {
		if p.votes >= 0.2*all[0].votes && len(out) < 4 {
			out = append(out, p.at*perBin)
		}
	}
	return out
}

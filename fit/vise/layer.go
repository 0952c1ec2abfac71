package vise

import (
	"math"
	"sort"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// layer is a level plane on which jaw tops may lie: the plane of one connected
// level patchwork small enough to be a jaw top, or both with a part between.
type layer struct {
	pose   geom.Pose // baseFromLayer: Z along the normal, origin in the middle of the seed
	radius float64   // of the seed about the origin, mm
	area   float64   // of the seed, mm^2

	hits *hits
}

const (
	sameLayer = 1.0 // mm: seeds nearer to each other's planes than this are one layer
	minSeed   = 4   // patches: less has no attitude of its own
)

// layers lists the planes worth a search, those with the largest seeds first.
func (v *view) layers() []layer {
	var all []layer
	seen := make([]bool, len(v.patches))
	for i := range v.patches {
		if seen[i] || v.patches[i].lies != level {
			continue
		}
		if l, ok := v.layerOf(v.flood(int32(i), seen)); ok {
			all = append(all, l)
		}
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].area > all[b].area })
	var kept []layer
	for _, l := range all {
		if !l.within(kept) {
			kept = append(kept, l)
		}
	}
	return kept
}

// flood gathers the level patches connected with the first, each no further
// from its neighbour's plane than the two could lie apart by noise.
func (v *view) flood(first int32, seen []bool) []int32 {
	group := []int32{first}
	seen[first] = true
	for at := 0; at < len(group); at++ {
		p := &v.patches[group[at]]
		v.near(p.cell, 1, func(k int32) {
			q := &v.patches[k]
			if seen[k] || q.lies != level || math.Abs(r3.Dot(p.normal, r3.Sub(q.Mean, p.Mean))) > 0.3*v.pitch {
				return
			}
			seen[k] = true
			group = append(group, k)
		})
	}
	return group
}

// layerOf is the layer of a patchwork; ok is false where it is too small or too
// large to be jaw tops.
func (v *view) layerOf(group []int32) (layer, bool) {
	if len(group) < minSeed {
		return layer{}, false
	}
	var m geom.Moments
	for _, k := range group {
		m.Merge(v.patches[k].Moments)
	}
	pl, _ := m.Plane()
	if r3.Dot(pl.Normal, v.up) < 0 {
		pl.Normal, pl.Offset = r3.Scale(-1, pl.Normal), -pl.Offset
	}
	if r3.Dot(pl.Normal, v.up) < cosLevel {
		return layer{}, false
	}
	l := layer{pose: pl.Frame(m.Mean), area: float64(len(group)) * v.pitch * v.pitch}
	for _, k := range group {
		l.radius = max(l.radius, r3.Norm(r3.Sub(v.patches[k].Mean, m.Mean)))
	}
	longest := math.Hypot(tradeWidth[1], 2*tradeDepth[1]+tradeTravel[1])
	return l, 2*l.radius < longest
}

// within tells whether the layer's seed lies on a layer that is listed already
// and within its reach.
func (l *layer) within(listed []layer) bool {
	for _, k := range listed {
		d := r3.Sub(l.pose.T, k.pose.T)
		if math.Abs(r3.Dot(k.pose.R.Axis(2), d)) < sameLayer && r3.Norm(d) < k.reach() {
			return true
		}
	}
	return false
}

// reach is how far from the seed's middle the pair of jaws may extend.
func (l *layer) reach() float64 { return l.radius + tradeTravel[1] + tradeDepth[1] }

// bearings lists the directions of the layer's upright surroundings, as angles
// about its normal modulo a right angle, the strongest first.
func (l *layer) bearings(v *view) []float64 {
	const bins = 90
	var votes [bins]float64
	for i := range v.patches {
		if p := &v.patches[i]; p.lies == upright && l.borders(v, p) {
			n := l.pose.R.T().Apply(p.normal)
			a := math.Mod(math.Atan2(n.Y, n.X)+4*math.Pi, math.Pi/2)
			spread(&votes, a/(math.Pi/2)*bins)
		}
	}
	return peaks(votes[:])
}

// borders tells whether the upright patch lies below the layer and under the
// brim of something level in it.
func (l *layer) borders(v *view, p *patch) bool {
	d := r3.Sub(p.Mean, l.pose.T)
	h := r3.Dot(d, l.pose.R.Axis(2))
	if h > -v.pitch/2 || h < -tradeHeight[1] || r3.Norm(d) > l.reach() {
		return false
	}
	foot := v.cell(r3.Sub(p.Mean, r3.Scale(h, l.pose.R.Axis(2))))
	found := false
	v.near(foot, 2, func(k int32) {
		q := &v.patches[k]
		found = found || q.lies == level && math.Abs(r3.Dot(l.pose.R.Axis(2), r3.Sub(q.Mean, l.pose.T))) < 0.4*v.pitch
	})
	return found
}

// spread casts a vote over the bins about at, in a triangle of three degrees.
func spread(votes *[90]float64, at float64) {
	for k := -3; k <= 3; k++ {
		b := int(math.Floor(at)) + k
		w := 1 - math.Abs(float64(b)+0.5-at)/3.5
		votes[(b+180)%90] += max(w, 0)
	}
}

// peaks are the local maxima that have a fifth of the strongest one's votes,
// refined by a parabola, in radians.
func peaks(votes []float64) []float64 {
	n := len(votes)
	type peak struct{ at, votes float64 }
	var all []peak
	for i, y := range votes {
		a, b := votes[(i+n-1)%n], votes[(i+1)%n]
		if y > a && y >= b {
			all = append(all, peak{float64(i) + 0.5 + 0.5*(a-b)/(a-2*y+b), y})
		}
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].votes > all[b].votes })
	var out []float64
	for _, p := range all {
		if p.votes >= 0.2*all[0].votes && len(out) < 4 {
			out = append(out, p.at/float64(n)*math.Pi/2)
		}
	}
	return out
}

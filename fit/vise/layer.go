package vise

import (
	"math"
	"slices"
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
	seeds  [][]int32 // the patchworks in its plane, that one first

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
		if k := l.within(kept); k >= 0 {
			kept[k].seeds = append(kept[k].seeds, l.seeds...)
		} else {
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
	l := layer{pose: pl.Frame(m.Mean), area: float64(len(group)) * v.pitch * v.pitch, seeds: [][]int32{group}}
	for _, k := range group {
		l.radius = max(l.radius, r3.Norm(r3.Sub(v.patches[k].Mean, m.Mean)))
	}
	longest := math.Hypot(tradeWidth[1], 2*tradeDepth[1]+tradeTravel[1])
	return l, 2*l.radius < longest
}

// within is which layer of those listed the layer's seed lies on and within reach
// of, -1 for none.
func (l *layer) within(listed []layer) int {
	return slices.IndexFunc(listed, func(k layer) bool {
		d := r3.Sub(l.pose.T, k.pose.T)
		return math.Abs(r3.Dot(k.pose.R.Axis(2), d)) < sameLayer && r3.Norm(d) < k.reach()
	})
}

// reach is how far from the seed's middle the pair of jaws may extend.
func (l *layer) reach() float64 { return l.radius + tradeTravel[1] + tradeDepth[1] }

package surface

import (
	"cmp"
	"math"
	"slices"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

// Before anything is fitted, unlike tells how far sweeps differ where two of
// them saw the same flat spot, so that one face is not taken for two.

// patch is the level of the nodes that are compared: 80 mm hold enough points of
// a sweep at any range, and are flat on most things.
const patch = 3

// A sweep's share of a node is compared where it has this many points and
// voxels, spread as a seed's must be; comparedMost nodes are enough.
const (
	comparedPoints = 20
	comparedSpots  = 4
	comparedMost   = 4000
)

// pair is two sweeps that saw the same node: the square of their difference, the
// variance of what noise adds, and the gain of a turn there.
type pair struct {
	scans                [2]int32
	squared, noise, gain float64
}

// Of the pairs of two sweeps, the quieter quarter is looked at, where noise adds
// little, and of these the ones that differ most are left out, for some nodes
// are not flat.
const (
	quieter   = 0.25
	leftWhole = 0.9
)

// unlike estimates what the arm's accuracy would have to be for sweeps to differ
// as they do, mm: over all pairs of sweeps, each by the nodes that it shares, for
// two sweeps may agree by chance. ok is false where there are too few nodes to tell.
func unlike(spots []spot) (pose float64, ok bool) {
	var pairs []pair
	ranges := nodeRanges(spots, patch)
	every := len(ranges)/comparedMost + 1
	for i := 0; i < len(ranges); i += every {
		pairs = append(pairs, differences(spots[ranges[i][0]:ranges[i][1]])...)
	}
	if len(pairs) < comparedPoints {
		return 0, false
	}
	slices.SortStableFunc(pairs, func(a, b pair) int {
		return cmp.Or(cmp.Compare(a.scans[0], b.scans[0]), cmp.Compare(a.scans[1], b.scans[1]), cmp.Compare(a.noise, b.noise))
	})
	var sum, n float64
	for len(pairs) > 0 {
		end := slices.IndexFunc(pairs, func(p pair) bool { return p.scans != pairs[0].scans })
		if end < 0 {
			end = len(pairs)
		}
		v, count := differ(pairs[:end])
		sum += v * count
		n += count
		pairs = pairs[end:]
	}
	return math.Sqrt(sum / n), true
}

// differ is the variance of one sweep that two sweeps' pairs show, the quietest
// of which come first, and how many it was told from.
func differ(pairs []pair) (variance, count float64) {
	v := make([]float64, max(int(quieter*float64(len(pairs))), 1))
	for i, p := range pairs[:len(v)] {
		v[i] = p.squared / (2 * (1 + p.gain)) // two sweeps differ by twice the variance of each
	}
	slices.Sort(v)
	v = v[:max(int(leftWhole*float64(len(v))), 1)]
	return stat.Mean(v, nil), float64(len(v))
}

// nodeRanges lists the ranges of spots that lie in one node of a level.
func nodeRanges(spots []spot, level int) [][2]int {
	var out [][2]int
	for i := 0; i < len(spots); {
		j := i + 1
		for j < len(spots) && spots[j].code>>(3*level) == spots[i].code>>(3*level) {
			j++
		}
		out = append(out, [2]int{i, j})
		i = j
	}
	return out
}

// differences compares the sweeps that saw the spots of a node, each with every
// other.
func differences(spots []spot) []pair {
	var seen []*sweepPatch
	for i := range spots {
		s := &spots[i]
		k := slices.IndexFunc(seen, func(p *sweepPatch) bool { return p.scan == s.scan })
		if k < 0 {
			k = len(seen)
			seen = append(seen, &sweepPatch{scan: s.scan})
		}
		seen[k].add(s)
	}
	seen = slices.DeleteFunc(seen, func(p *sweepPatch) bool { return !p.flat() })
	var out []pair
	for k, a := range seen {
		for _, b := range seen[k+1:] {
			if r3.Dot(a.plane.Normal, b.plane.Normal) < parallel {
				continue
			}
			// Half way between the two normals, the tilt of either cancels.
			n := r3.Unit(r3.Add(a.plane.Normal, b.plane.Normal))
			d := r3.Dot(n, r3.Sub(a.Mean, b.Mean))
			out = append(out, pair{
				scans:   [2]int32{min(a.scan, b.scan), max(a.scan, b.scan)},
				squared: d * d, noise: a.noise/a.spots + b.noise/b.spots, gain: (a.gain + b.gain) / 2,
			})
		}
	}
	return out
}

// sweepPatch is what one sweep saw of a node.
type sweepPatch struct {
	geom.Moments
	scan               int32
	spots, noise, gain float64 // count, and means over the points
	toward             r3.Vec
	plane              geom.Plane
}

func (p *sweepPatch) add(s *spot) {
	p.Merge(s.Moments)
	p.spots++
	p.noise += (s.noise - p.noise) * s.N / p.N
	p.gain += (s.gain - p.gain) * s.N / p.N
	p.toward = r3.Add(p.toward, r3.Scale(s.N, s.toward))
}

// flat fits the patch and tells whether it is as thin as noise makes it and wide
// enough to be compared.
func (p *sweepPatch) flat() bool {
	if p.N < comparedPoints || p.spots < comparedSpots {
		return false
	}
	pl, w := p.Plane()
	p.plane = pl.Facing(r3.Add(p.Mean, p.toward))
	width := seedWidth * edge(patch)
	return w[1] > width*width && w[0] <= p.noise*excess(int(p.spots))
}

package register

import (
	"maps"
	"math"
	"slices"

	"cellwall/mapping/cores"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// patch is a flat piece of a surface as one scan saw it.
type patch struct {
	mean   r3.Vec
	plane  geom.Plane // facing the eye
	n      float64    // points
	across float64    // variance of a point across the plane, mm^2
	along  float64    // least variance along it, mm^2
	reach  float64    // distance from the eye, mm
	toward r3.Vec     // to the eye, unit
	scan   int
	even   bool // its neighbours lie in its plane
}

// A patch is flat where its points stand off its plane as the noise lets them,
// with an allowance for what surfaces are in themselves; and wide enough for its
// normal to mean something: an even square of edge e has the variance e^2/12
// along each side, half of one a quarter of that.
const (
	flatSigmas  = 2.0
	flatShare   = 1.0 / 400 // of the edge
	wideShare   = 1.0 / 8   // least deviation along the plane, of the edge
	patchPoints = 12        // least number of points, nine of them beyond the plane's three
)

// cell names a cube of space: its index along X, Y and Z, of cellBits each.
type cell uint64

const (
	cellBits = 21 // a million cells either way
	cellMid  = 1 << (cellBits - 1)
	// offRound shifts the cells, of an edge, so that a floor at a round height does
	// not lie on a boundary, where noise would split it into two layers.
	offRound = 1.0 / 3
)

func cellAt(p r3.Vec, edge float64) cell {
	index := func(x float64) cell { return cell(int(math.Floor(x/edge+offRound))+cellMid) & (1<<cellBits - 1) }
	return index(p.X)<<(2*cellBits) | index(p.Y)<<cellBits | index(p.Z)
}

// next is the cell so many steps further.
func (c cell) next(x, y, z int) cell {
	return c + cell(x)<<(2*cellBits) + cell(y)<<cellBits + cell(z)
}

// middle is the middle of the cell.
func (c cell) middle(edge float64) r3.Vec {
	at := func(i cell) float64 { return (float64(int(i&(1<<cellBits-1))-cellMid) + 0.5 - offRound) * edge }
	return r3.Vec{X: at(c >> (2 * cellBits)), Y: at(c >> cellBits), Z: at(c)}
}

// around calls do for the cells up to n steps from c.
func (c cell) around(n int, do func(cell)) {
	for x := -n; x <= n; x++ {
		for y := -n; y <= n; y++ {
			for z := -n; z <= n; z++ {
				do(c.next(x, y, z))
			}
		}
	}
}

// corner calls do for the eight cells whose middles are nearest to p.
func corner(p r3.Vec, edge float64, do func(cell)) {
	first := cellAt(r3.Sub(p, r3.Vec{X: edge / 2, Y: edge / 2, Z: edge / 2}), edge)
	for i := range 8 {
		do(first.next(i&1, i>>1&1, i>>2))
	}
}

// medianEdge is the edge that half of the voxels do not exceed.
func medianEdge(scans ...Scan) float64 {
	count, all := map[float64]int{}, 0
	for _, s := range scans {
		for i := range s.Voxels {
			count[s.Voxels[i].Edge]++
			all++
		}
	}
	below := 0
	for _, edge := range slices.Sorted(maps.Keys(count)) {
		if below += count[edge]; 2*below >= all {
			return edge
		}
	}
	return 0
}

// patches are the flat pieces of a scan, one a cube of the edge, in the order of
// its voxels.
func patches(s Scan, scan int, edge float64) []patch {
	type gathered struct {
		geom.Moments
		toward r3.Vec
		reach  float64
	}
	index := map[cell]int{}
	var all []gathered
	for i := range s.Voxels {
		v := &s.Voxels[i]
		c := cellAt(v.Mean, edge)
		k, ok := index[c]
		if !ok {
			k = len(all)
			index[c] = k
			all = append(all, gathered{})
		}
		all[k].Merge(v.Moments)
		all[k].toward = r3.Add(all[k].toward, r3.Scale(v.N, v.Toward))
		all[k].reach += v.N * v.Range
	}
	var out []patch
	for i := range all {
		g := &all[i]
		if g.N < patchPoints {
			continue
		}
		plane, w := g.Plane()
		reach := g.reach / g.N
		thick := flatSigmas*s.Sigma(reach) + flatShare*edge
		if w[0] > thick*thick || w[1] < wideShare*wideShare*edge*edge {
			continue
		}
		p := patch{mean: g.Mean, plane: plane, n: g.N, across: w[0], along: w[1], reach: reach, toward: r3.Unit(g.toward), scan: scan}
		if r3.Dot(plane.Normal, g.toward) < 0 {
			p.plane = geom.Plane{Normal: r3.Scale(-1, plane.Normal), Offset: -plane.Offset}
		}
		out = append(out, p)
	}
	return out
}

// evenTilt is how far a patch of an even surface may be tilted but for noise, rad:
// 0.4 mm across a patch of 80 mm.
const evenTilt = 0.005

// tilt is the deviation of the patch's normal, rad.
func (p *patch) tilt() float64 { return math.Sqrt(p.across / (p.n * p.along)) }

// markEven finds the patches whose own scan's neighbours lie in their plane. On a
// pillar, or across a small step, a patch would be held against the plane of
// another place.
func markEven(all []patch, lookup map[cell][]int32, edge float64) {
	cores.Each(len(all), func(i int) {
		p := &all[i]
		p.even = true
		cellAt(p.mean, edge).around(1, func(c cell) {
			for _, k := range lookup[c] {
				q := &all[k]
				if q.scan != p.scan || r3.Dot(q.plane.Normal, p.plane.Normal) < facingRough {
					continue
				}
				aside2, d := p.offset(q.mean)
				if d = math.Abs(d); d < edge/2 && d > trimSigmas*math.Sqrt(p.at(aside2)+q.at(0))+evenTilt*math.Sqrt(aside2) {
					p.even = false
				}
			}
		})
	})
}

// lookupOf lists the patches by their cells.
func lookupOf(all []patch, edge float64) map[cell][]int32 {
	out := map[cell][]int32{}
	for i := range all {
		c := cellAt(all[i].mean, edge)
		out[c] = append(out[c], int32(i))
	}
	return out
}

// moved is the patch after the motion.
func (p *patch) moved(m geom.Pose) patch {
	q := *p
	q.mean = m.Apply(p.mean)
	q.plane.Normal = m.R.Apply(p.plane.Normal)
	q.plane.Offset = r3.Dot(q.plane.Normal, q.mean)
	q.toward = m.R.Apply(p.toward)
	return q
}

// at is the variance of the plane's offset at a point so far aside of its mean,
// mm^2: that of a fitted line (JCGM 100:2008, H.3), but for the noise that runs
// on between neighbours, which the solution's scale takes up.
func (p *patch) at(aside2 float64) float64 {
	return p.across / p.n * (1 + aside2/p.along)
}

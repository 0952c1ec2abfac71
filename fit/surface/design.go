package surface

import (
	"math"
)

// design is the design effect of a sweep's noise on a fit: the variance that the
// fit has over the one that it would have if every point erred by itself and as
// much as the noise law says. Neighbours along a laser line err alike, so it is
// more than one (Kish, Survey Sampling, 8.2, for clustered samples).
type design struct {
	measured float64
	blocks   float64 // that it was told from; 0 where it was not
	assumed  float64 // what other sweeps and surfaces show
}

// effect weighs what was measured against what is usual, by the blocks that
// each rests on.
func (d design) effect() float64 {
	if d.blocks == 0 && d.assumed == 0 {
		return 1
	}
	return (d.blocks*d.measured + usualBlocks*d.assumed) / (d.blocks + usualBlocks)
}

// usualBlocks is how many blocks the usual design effect counts for. A variance
// told from n blocks scatters by sqrt(2/n): half of itself at eight, which is
// about what surfaces of one cell differ by.
const usualBlocks = 8.0

// divisions of what a sweep saw of a surface into blocks, about that many. As
// blocks grow beyond the length over which noise is correlated, the variance of
// their sums tells that of the whole fit (batch means; Law, Simulation Modeling
// and Analysis, 9.5.3).
var divisions = [3]float64{256, 64, 16}

// judge measures the design effect of each sight from the residuals of blocks.
func (f *refined) judge(spots []spot) {
	rest := f.residuals(spots)
	for _, n := range divisions {
		for k, sums := range f.blocks(rest, n) {
			g := &f.sights[k]
			a, _ := normal(g.weighed, f.frame)
			b, _ := normal(g.noisy, f.frame)
			inv, _ := a.plus(hold).inverse()
			if got, blocks := spreadOf(sums, inv); blocks >= 2 {
				f.design[k].raise(got/inv.mul(b).trace(), blocks)
			}
		}
	}
}

// raise takes the greatest effect over the divisions: smaller blocks than the
// noise is long tell too little.
func (d *design) raise(effect, blocks float64) {
	if effect > d.measured {
		d.measured, d.blocks = effect, blocks
	}
}

// residue is a member's place and its residual times its weight.
type residue struct {
	x      vec3
	pull   float64
	weight float64
}

func (f *refined) residuals(spots []spot) []residue {
	out := make([]residue, len(f.members))
	for i, m := range f.members {
		r, x := f.residual(spots, i)
		w := spots[m].N / spots[m].across(f.frame.R.Axis(2))
		out[i] = residue{x, w * r, w}
	}
	return out
}

// clump sums w x r over the points of a block.
type clump struct {
	sum    vec3
	weight float64
}

// blocks divides each sight's points into about n squares.
func (f *refined) blocks(rest []residue, n float64) [][]clump {
	tiles := make([]tiling, len(f.sights))
	for k := range tiles {
		tiles[k] = tiling{lo: [2]float64{math.Inf(1), math.Inf(1)}, hi: [2]float64{math.Inf(-1), math.Inf(-1)}}
	}
	for i := range rest {
		tiles[f.slot[i]].reach(rest[i].x)
	}
	out := make([][]clump, len(f.sights))
	for k := range out {
		out[k] = make([]clump, tiles[k].divide(n))
	}
	for i := range rest {
		k := f.slot[i]
		c := &out[k][tiles[k].at(rest[i].x)]
		c.weight += rest[i].weight
		for j, x := range rest[i].x {
			c.sum[j] += rest[i].pull * x
		}
	}
	return out
}

// tiling divides a rectangle into squares.
type tiling struct {
	lo, hi  [2]float64
	edge    float64
	columns int
}

func (t *tiling) reach(x vec3) {
	t.lo = [2]float64{min(t.lo[0], x[1]), min(t.lo[1], x[2])}
	t.hi = [2]float64{max(t.hi[0], x[1]), max(t.hi[1], x[2])}
}

// divide makes about n squares, or as many as fit along a rectangle that is no
// wider than one; it returns how many there are.
func (t *tiling) divide(n float64) int {
	w, h := t.hi[0]-t.lo[0], t.hi[1]-t.lo[1]
	t.edge = max(math.Sqrt(w*h/n), w/n, h/n)
	if t.edge == 0 { // a single place
		t.edge = 1
	}
	t.columns = int(w/t.edge) + 1
	return t.columns * (int(h/t.edge) + 1)
}

func (t *tiling) at(x vec3) int {
	return int((x[1]-t.lo[0])/t.edge) + t.columns*int((x[2]-t.lo[1])/t.edge)
}

// spreadOf is the sum over blocks of g^T inv g, corrected for the fit that took
// their mean away, and the effective number of blocks.
func spreadOf(blocks []clump, inv mat3) (sum, effective float64) {
	var w, w2 float64
	for _, b := range blocks {
		sum += b.sum.dot(inv.apply(b.sum))
		w += b.weight
		w2 += b.weight * b.weight
	}
	if w2 == 0 {
		return 0, 0
	}
	effective = w * w / w2
	return sum * effective / (effective - 1), effective
}

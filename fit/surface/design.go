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
	for k := range f.sights {
		a, _ := normal(f.sights[k].weighed, f.frame)
		b, _ := normal(f.sights[k].noisy, f.frame)
		inv, _ := a.plus(hold).inverse()
		expected := inv.mul(b).trace()
		for _, n := range divisions {
			sums := f.blocks(spots, int32(k), n)
			if got, blocks := spreadOf(sums, inv); blocks >= 2 {
				f.design[k].raise(got/expected, blocks)
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

// clump sums w x r over the points of a block.
type clump struct {
	sum    vec3
	weight float64
}

// blocks divides the sight's points into about n squares.
func (f *refined) blocks(spots []spot, k int32, n float64) []clump {
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for i := range f.members {
		if f.slot[i] == k {
			_, x := f.residual(spots, i)
			lo = [2]float64{min(lo[0], x[1]), min(lo[1], x[2])}
			hi = [2]float64{max(hi[0], x[1]), max(hi[1], x[2])}
		}
	}
	w, h := hi[0]-lo[0], hi[1]-lo[1]
	edge := max(math.Sqrt(w*h/n), max(w, h)/n)
	if !(edge > 0) {
		return nil
	}
	columns := int(w/edge) + 1
	out := make([]clump, columns*(int(h/edge)+1))
	for i, m := range f.members {
		if f.slot[i] != k {
			continue
		}
		r, x := f.residual(spots, i)
		b := &out[int((x[1]-lo[0])/edge)+columns*int((x[2]-lo[1])/edge)]
		g := spots[m].N / spots[m].variance()
		b.weight += g
		for j := range x {
			b.sum[j] += g * r * x[j]
		}
	}
	return out
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

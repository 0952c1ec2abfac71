package vise

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// bracket is, strip by strip along an edge, the outermost point on the face and
// the innermost crossing of a ray that missed it.
type bracket struct {
	inner, outer []float64
	strip        func(i int, u float64) r3.Vec // jaw frame
}

// brackets finds the bracket of each scan: by all rays, or by those only to which
// the edge is a jump, for the target is turned away from them.
func (f *fit) brackets(carrier, target face, jumps bool) []bracket {
	up, out := faces[carrier].normal, faces[target].normal
	along := r3.Cross(up, out)
	lo, hi := f.extent(carrier)
	t0, t1 := min(r3.Dot(along, lo), r3.Dot(along, hi)), max(r3.Dot(along, lo), r3.Dot(along, hi))
	t0, t1 = t0+edgeMargin, t1-edgeMargin
	count := max(int((t1-t0)/stripWide), 0)
	edge, top := f.offset(target), f.offset(carrier)
	all := make([]bracket, len(f.scans))
	for s := range all {
		all[s] = newBracket(count, func(i int, u float64) r3.Vec {
			t := t0 + (float64(i)+0.5)*stripWide
			return r3.Add(r3.Add(r3.Scale(top, up), r3.Scale(u, out)), r3.Scale(t, along))
		})
	}
	for i := range f.points {
		if jumps && r3.Dot(out, f.rays[i]) > turnedAway {
			continue
		}
		q, on, ok := f.meets(i, carrier)
		if !ok {
			continue
		}
		u, t := r3.Dot(out, q)-edge, (r3.Dot(along, q)-t0)/stripWide
		if u < -edgeInside || u > edgeInside || t < 0 || t >= float64(count) {
			continue
		}
		all[f.points[i].scan].take(int(t), edge+u, on && u < edgeOutside, !on && u > -edgeOutside)
	}
	return all
}

// meets is where the ray of point i meets the plane of the face: at the point, or
// on the way to it where that lies well behind. It is not ok where the ray ends
// before the plane, or too near behind it to tell, or goes along it.
func (f *fit) meets(i int, carrier face) (q r3.Vec, on, ok bool) {
	p := &f.points[i]
	if p.blur > 0 {
		return q, false, false
	}
	up := faces[carrier].normal
	q = f.seen[i]
	c := r3.Dot(up, q) - f.offset(carrier)
	if math.Abs(c) < 3*f.scale[p.scan][carrier] {
		return q, true, true
	}
	climb := r3.Dot(up, f.rays[i])
	if c > -behindFace || climb < grazing {
		return q, false, false
	}
	return r3.Add(q, r3.Scale(-c/climb, f.rays[i])), false, true
}

func newBracket(n int, strip func(int, float64) r3.Vec) bracket {
	b := bracket{inner: make([]float64, n), outer: make([]float64, n), strip: strip}
	for i := range n {
		b.inner[i], b.outer[i] = math.Inf(-1), math.Inf(1)
	}
	return b
}

func (b *bracket) take(i int, u float64, on, missed bool) {
	if on {
		b.inner[i] = max(b.inner[i], u)
	}
	if missed {
		b.outer[i] = min(b.outer[i], u)
	}
}

// strips lists the strips that are bracketed on both sides, without those that
// stand out from the rest: a spike of glare on the one side, a hole on the other.
// There are none where too few are left to agree on anything.
func (b *bracket) strips() (index []int, mids, gaps []float64) {
	for i := range b.inner {
		gap := b.outer[i] - b.inner[i]
		if gap < -behindFace || !(gap < widestGap) {
			continue
		}
		index, gaps = append(index, i), append(gaps, max(gap, leastBracket))
		mids = append(mids, (b.inner[i]+b.outer[i])/2)
	}
	if len(mids) < leastStrips {
		return nil, nil, nil
	}
	middle, wide := median(clone(mids)), median(clone(gaps))
	n := 0
	for i := range mids {
		if math.Abs(mids[i]-middle) <= wide {
			index[n], mids[n], gaps[n] = index[i], mids[i], gaps[i]
			n++
		}
	}
	if n < leastStrips {
		return nil, nil, nil
	}
	return index[:n], mids[:n], gaps[:n]
}

func clone(x []float64) []float64 { return append([]float64(nil), x...) }

// edge averages the strips. The middle of a bracket of width g is off by
// g/sqrt(12). How much of that the strips share shows in how little they
// scatter: where the scan's lines run along the edge all strips are off alike,
// and averaging does not help.
func (b *bracket) edge() (edge, bool) {
	index, mids, gaps := b.strips()
	n := float64(len(index))
	if n == 0 {
		return edge{}, false
	}
	var at r3.Vec
	var mean, scatter, full float64
	for k, i := range index {
		at = r3.Add(at, r3.Scale(1/n, b.strip(i, mids[k])))
		mean += mids[k] / n
		full += gaps[k] * gaps[k] / 12 / n
	}
	for _, m := range mids {
		scatter += (m - mean) * (m - mean) / (n - 1)
	}
	variance := max(full-scatter, 0) + stripsAlike*scatter/n + edgeRound*edgeRound
	return edge{at: at, sigma: math.Sqrt(variance)}, true
}

// stripsAlike: a line of the scan crosses about two strips on its way along the
// edge, so that half of the strips are independent.
const stripsAlike = 2.0

// gap is the median width of the brackets.
func (b *bracket) gap() float64 {
	_, _, gaps := b.strips()
	return median(gaps)
}

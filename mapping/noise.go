package mapping

import "math"

// The noise is read off the profiles themselves: how far a point lies along its
// ray beyond the chord of the points lag places before and after it, for lags
// that double. Such a bend of even, independent noise has a variance of 3/2 of
// the noise's own. Noise that runs on along the line bends less over short lags,
// so the estimate is taken where it no longer grows with the lag.
const (
	shortestLag = 1
	lags        = 6 // 1 to 32 points
)

// residuals are histograms of bends, reduced to 1 m of range, over the
// logarithm of their size: 24 bins a factor of ten, from 1 nm to 1 m. Counts
// add up to the same whatever the order.
type residuals [lags]histogram

const (
	binsPerDecade = 24
	smallestBend  = 1e-6 // mm
	decades       = 9
)

type histogram [binsPerDecade * decades]int64

// put counts the bend b mm at range r mm.
func (h *histogram) put(b, r float64) {
	if math.IsNaN(b) {
		return
	}
	reduced := math.Abs(b) * 1e6 / (r * r)
	i := int(binsPerDecade * math.Log10(reduced/smallestBend))
	h[min(max(i, 0), len(h)-1)]++
}

func (h *histogram) count() (n int64) {
	for _, c := range h {
		n += c
	}
	return n
}

// sigma is the deviation of the bends at 1 m, mm, from the median size of those
// within clip deviations: creases, which bend further, would drive up the median
// of all. 0 where there are none.
func (h *histogram) sigma() float64 {
	const (
		clip    = 3.0
		toSigma = 1 / 0.6718 // median size of a normal quantity cut off at 3 deviations, Phi^-1(0.5+0.9973/4)
		rounds  = 20
	)
	sigma := math.Inf(1)
	for range rounds {
		next := toSigma * h.median(clip*sigma)
		if next == sigma {
			break
		}
		sigma = next
	}
	return sigma
}

// median is the median of the sizes up to most, 0 where there are none.
func (h *histogram) median(most float64) float64 {
	end := len(h)
	if bin := binsPerDecade * math.Log10(most/smallestBend); bin < float64(len(h)) {
		end = max(int(bin), 0)
	}
	var n float64
	for _, c := range h[:end] {
		n += float64(c)
	}
	half := n / 2
	for i, c := range h[:end] {
		if half -= float64(c); half <= 0 && c > 0 {
			return smallestBend * math.Pow(10, (float64(i)+1+half/float64(c))/binsPerDecade)
		}
	}
	return 0
}

func (a *residuals) add(b *residuals) {
	for i := range a {
		for j := range a[i] {
			a[i][j] += b[i][j]
		}
	}
}

// readNeighbours takes in the bends of a profile over the shortest lag.
func (a *residuals) readNeighbours(f *profile) {
	for i, b := range f.bend {
		a[0].put(b, f.r[i])
	}
}

// read takes in the bends of a profile whose joints are known, over the lags
// that lie within one run.
func (a *residuals) read(f *profile) {
	run := 0 // points since the last jump
	for i := range f.v {
		if run++; f.joint[i] != straight {
			run = 0
		}
		for l := 1; l < lags && run >= 2<<l; l++ {
			mid := i - 1<<l
			a[l].put(f.bendAt(mid, 1<<l), f.r[mid])
		}
	}
}

// enoughBends is how many make an estimate good to some 5 percent.
const enoughBends = 500

// estimate is the noise at the longest lag for which there are enough bends,
// zero where there is none.
func (a *residuals) estimate() Noise {
	for l := lags - 1; l >= 0; l-- {
		if a[l].count() >= enoughBends {
			return Noise{AtMetre: a[l].sigma() / math.Sqrt(1.5)}
		}
	}
	return Noise{}
}

// estimateNoise is the noise as declared or else as the scans show it.
func estimateNoise(declared float64, scans []*scan) Noise {
	if declared > 0 {
		return Noise{AtMetre: declared, Given: true}
	}
	var all residuals
	for _, s := range scans {
		all.add(&s.noise)
	}
	return all.estimate()
}

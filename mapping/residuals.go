package mapping

import "math"

// residuals are histograms of bends, one a lag and a band of range. Counts add
// up to the same whatever the order.
type residuals [lags]banded

// Bends are taken over lags that double, in points.
const (
	lags        = 6 // 1 to 32
	enoughBends = 500
	fewBends    = 50 // in a band, for it to count: good to some 15 percent
)

// banded is a histogram for every half octave of range.
type banded [2 * rangeOctaves]histogram

const (
	nearestBand  = 64.0 // mm, a power of two for binOf
	rangeOctaves = 12   // up to 262 m
)

// histogram counts sizes by the leading bits of their floating-point form:
// sixteen bins an octave, from a micrometre to a metre.
type histogram [sizeOctaves << binBits]uint32

const (
	binBits      = 4
	sizeOctaves  = 20
	smallest     = 1.0 / 1024 // mm
	mantissaBits = 52
)

// binOf is where x > 0 falls when every octave from unit, a power of two, is cut
// into 2^bits parts; it may be negative.
func binOf(x, unit float64, bits int) int {
	shift := mantissaBits - bits
	return int(math.Float64bits(x)>>shift) - int(math.Float64bits(unit)>>shift)
}

// startOf is the least size in bin i.
func startOf(i int) float64 {
	return math.Float64frombits(math.Float64bits(smallest) + uint64(i)<<(mantissaBits-binBits))
}

// put counts the bend b at range r, mm, as it would be in the middle of its
// band.
func (h *banded) put(b, r float64) {
	if band := binOf(r, nearestBand, 1); b == b && 0 <= band && band < len(h) { // b == b: not NaN
		share := bandMiddle(band) / r
		size := binOf(math.Abs(b)*share*share, smallest, binBits)
		h[band][min(max(size, 0), len(h[band])-1)]++
	}
}

func (h *banded) count() (n int64) {
	for i := range h {
		n += h[i].count(len(h[i]))
	}
	return n
}

// bandMiddle is the range in the middle of band i, mm.
func bandMiddle(i int) float64 {
	return nearestBand * math.Exp2(float64(i/2)) * (1.25 + 0.5*float64(i%2))
}

// readings are the deviations that the bands show.
func (h *banded) readings() []reading {
	var out []reading
	for i := range h {
		if n := h[i].count(len(h[i])); n >= fewBends {
			out = append(out, reading{at: bandMiddle(i), sigma: h[i].sigma(), n: float64(n)})
		}
	}
	return out
}

// count is how many lie in the first end bins.
func (h *histogram) count(end int) (n int64) {
	for _, c := range h[:end] {
		n += int64(c)
	}
	return n
}

// sigma is the deviation of the bends, mm, from the median size of those within
// clip deviations: creases, which bend further, would drive up the median of
// all.
func (h *histogram) sigma() float64 {
	const (
		clip    = 3.0
		toSigma = 1 / 0.6718 // by the median size of a normal quantity cut off at 3 deviations, Phi^-1(0.5+0.9973/4)
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
	end := min(max(binOf(most, smallest, binBits), 0), len(h))
	half := float64(h.count(end)) / 2
	for i, c := range h[:end] {
		if half -= float64(c); half <= 0 && c > 0 {
			return startOf(i+1) + half/float64(c)*(startOf(i+1)-startOf(i))
		}
	}
	return 0
}

func (a *residuals) add(b *residuals) {
	for i := range a {
		for j := range a[i] {
			for k := range a[i][j] {
				a[i][j][k] += b[i][j][k]
			}
		}
	}
}

// readNeighbours takes in the bends of a profile over the shortest lag.
func (a *residuals) readNeighbours(f *profile) {
	for i, b := range f.bend {
		a[0].put(b, f.r[i])
	}
}

// read takes in the bends of a profile whose joints are known, over the longer
// lags and within one run.
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

// readings are those of the longest lag for which there are enough bends, as
// deviations of single points.
func (a *residuals) readings() []reading {
	for l := lags - 1; l >= 0; l-- {
		if a[l].count() < enoughBends {
			continue
		}
		out := a[l].readings()
		for i := range out {
			out[i].sigma /= bendOfPoint
		}
		return out
	}
	return nil
}

package fit

import (
	"math"
	"slices"
)

// line gathers the rows of a border for a straight line through them.
type line struct{ along, across []float64 }

func (l *line) add(along, across float64) {
	l.along = append(l.along, along)
	l.across = append(l.across, across)
}

func (l *line) len() int { return len(l.along) }

// lineFit is a line: its place at the middle of the rows and the standard
// deviation of the rows about it; its slope and that one's uncertainty.
type lineFit struct{ at, spread, slope, slopeSigma float64 }

// outlying is how many standard deviations off the median a row may lie and
// still shape the line.
const outlying = 3

// fit is the least-squares line through the rows that lie near a first, robust
// one: the median of the slopes between the halves (Tukey's resistant line).
func (l *line) fit() lineFit {
	at, spread := medianSpread(l.across)
	slope := 0.0
	for range 2 {
		rest := make([]float64, l.len())
		mid := mean(l.along)
		for i := range rest {
			rest[i] = l.across[i] - slope*(l.along[i]-mid)
		}
		at, spread = medianSpread(rest)
		slope = l.slopeNear(at, slope, mid, max(outlying*spread, flatRows))
	}
	n := float64(l.len())
	_, lever := meanSigma(l.along)
	f := lineFit{at: at, slope: slope, spread: spread}
	if lever > 0 {
		f.slopeSigma = max(spread, flatRows/outlying) / (lever * math.Sqrt(n))
	}
	return f
}

// flatRows keeps rows that agree better than their readings can, mm.
const flatRows = 1.0

// slopeNear is the least-squares slope of the rows within reach of a line.
func (l *line) slopeNear(at, slope, mid, reach float64) float64 {
	var n, sx, sy, sxx, sxy float64
	for i, a := range l.along {
		x, y := a-mid, l.across[i]-at
		if math.Abs(y-slope*x) > reach {
			continue
		}
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	if d := n*sxx - sx*sx; d > 0 {
		return (n*sxy - sx*sy) / d
	}
	return slope
}

func mean(x []float64) float64 {
	m, _ := meanSigma(x)
	return m
}

// meanSigma is the mean and the standard deviation about it.
func meanSigma(x []float64) (m, sigma float64) {
	for _, v := range x {
		m += v
	}
	m /= float64(len(x))
	for _, v := range x {
		sigma += (v - m) * (v - m)
	}
	return m, math.Sqrt(sigma / float64(len(x)))
}

// median of a non-empty slice, which it leaves sorted.
func median(x []float64) float64 {
	slices.Sort(x)
	n := len(x)
	return (x[(n-1)/2] + x[n/2]) / 2
}

// medianSpread is the median, and the standard deviation that the median
// absolute deviation stands for (factor 1.4826 for normal data).
func medianSpread(x []float64) (m, sigma float64) {
	sorted := slices.Clone(x)
	m = median(sorted)
	for i := range sorted {
		sorted[i] = math.Abs(sorted[i] - m)
	}
	return m, 1.4826 * median(sorted)
}

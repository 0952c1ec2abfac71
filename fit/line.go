package fit

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// line gathers the rows of a border for a straight line through them.
type line struct{ along, across []float64 }

func (l *line) add(along, across float64) {
	l.along = append(l.along, along)
	l.across = append(l.across, across)
}

func (l *line) len() int { return len(l.along) }

// slope is the median of the slopes between all pairs of rows (Theil and Sen;
// Sen, J. Am. Stat. Assoc. 63 (1968) 1379): up to 29 % of rows may be wrong.
func (l *line) slope() float64 {
	var slopes []float64
	for i := range l.along {
		for j := i + 1; j < len(l.along); j++ {
			if d := l.along[j] - l.along[i]; d != 0 {
				slopes = append(slopes, (l.across[j]-l.across[i])/d)
			}
		}
	}
	if slopes == nil {
		return 0
	}
	return median(slopes)
}

// length from the first to the last row, mm.
func (l *line) length() float64 {
	if len(l.along) == 0 {
		return 0
	}
	return slices.Max(l.along) - slices.Min(l.along)
}

// spread is the standard deviation of the rows across the line.
func (l *line) spread() float64 {
	_, s := medianSpread(l.across)
	return s
}

// median of a non-empty slice, which it leaves sorted.
func median(x []float64) float64 {
	slices.Sort(x)
	n := len(x)
	return (x[(n-1)/2] + x[n/2]) / 2
}

// quantile of a non-empty slice, which it leaves sorted.
func quantile(x []float64, q float64) float64 {
	slices.Sort(x)
	return stat.Quantile(q, stat.LinInterp, x, nil)
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

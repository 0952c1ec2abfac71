package surface

import (
	"math"
	"slices"

	"cellwall/fit/between"
	"cellwall/mapping/cores"
)

// declaredCounts is how many degrees of freedom a declared accuracy counts for
// against what sweeps show: it is a rounded figure of one arm's test, good to a
// third or so, as a standard deviation from four degrees of freedom is.
const declaredCounts = 4.0

// usualCounts is the same of what arms are like of which nothing was declared: the
// least that keeps two sweeps which agree by chance from being taken for exact.
const usualCounts = 1.0

// outvoted is the most, times its expectation, that one surface's misfit counts:
// a surface that is not plane after all shall not speak for the arm.
const outvoted = within * within

// The factors that are searched, on the variance that is expected: from a
// thousandth to a thousand times its standard deviation; and how often the three
// variances are searched in turn.
const (
	leastFactor = 1e-6
	mostFactor  = 1e6
	turns       = 4
)

// compare finds how far sweeps are off from all surfaces that several of them
// saw, by restricted maximum likelihood (Patterson and Thompson, Biometrika 58
// (1971) 545), near what is expected. What a declared accuracy holds beyond the
// differences between sweeps, even if chance made these small (1 in 20), is
// common to all of them.
//
// seen is what they show, by which sweeps are weighed against each other; stated
// is what a result must allow for, since few sweeps show little.
func compare(all []*refined, expected sway, isDeclared bool, sweeps int) (seen, stated sway) {
	planes := make([][]plain, 0, len(all))
	for _, f := range all {
		if len(f.sights) > 1 {
			planes = append(planes, f.planes())
		}
	}
	if len(planes) == 0 {
		return expected, expected // nothing tells more
	}
	seen = expected
	for range turns {
		for _, v := range []*float64{&seen.shift, &seen.turn, &seen.wave} {
			*v = likeliest(*v, func(x float64) float64 {
				*v = x
				return unlikely(planes, seen)
			})
		}
	}
	// Every surface shows the same motions again: three shifts and three turns of
	// each sweep but the first.
	n := 3 * float64(sweeps-1)
	if !isDeclared {
		return seen, toward(declared(between.Usual(0)), usualCounts, seen, n)
	}
	stated = toward(expected, declaredCounts, seen, n)
	beyond := func(a, b float64) float64 { return max(a-b/chiSquaredShare(0.05, n), 0) }
	stated.armShift, stated.armTurn = beyond(expected.shift, stated.shift), beyond(expected.turn, stated.turn)
	return stated, stated
}

// toward is what lies between a sway known beforehand, which counts as much as so
// many motions, and one that was seen in n.
func toward(known sway, counts float64, seen sway, n float64) sway {
	mean := func(a, b float64) float64 { return (counts*a + n*b) / (counts + n) }
	return sway{shift: mean(known.shift, seen.shift), turn: mean(known.turn, seen.turn), wave: mean(known.wave, seen.wave)}
}

// unlikely is -2 log restricted likelihood of the sweeps' differences.
func unlikely(planes [][]plain, s sway) float64 {
	part := make([]float64, len(planes))
	cores.Parts(len(planes), func(from, to int) {
		for i := from; i < to; i++ {
			p := pool(planes[i], s)
			part[i] = p.log + min(p.misfit, outvoted*max(p.free, 0))
		}
	})
	var sum float64
	for _, x := range part {
		sum += x
	}
	return sum
}

// likeliest finds the variance at which f is least, by golden section on the
// logarithm of its ratio to the one given.
func likeliest(from float64, f func(variance float64) float64) float64 {
	const golden = 0.6180339887498949
	at := func(x float64) float64 { return f(from * math.Exp(x)) }
	lo, hi := math.Log(leastFactor), math.Log(mostFactor)
	a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
	fa, fb := at(a), at(b)
	for hi-lo > 0.05 { // 5 % of a variance is less than any sample of sweeps tells
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - golden*(hi-lo)
			fa = at(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + golden*(hi-lo)
			fb = at(b)
		}
	}
	return from * math.Exp((lo+hi)/2)
}

// usual is the median design effect of the sights that were told from enough
// blocks, one where there is none; it becomes the assumed effect of all.
func usual(all []*refined) float64 {
	var seen []float64
	for i := range all {
		for _, d := range all[i].design {
			if d.blocks >= usualBlocks {
				seen = append(seen, d.measured)
			}
		}
	}
	if len(seen) == 0 {
		return 1
	}
	slices.Sort(seen)
	median := seen[len(seen)/2]
	for i := range all {
		for k := range all[i].design {
			all[i].design[k].assumed = median
		}
	}
	return median
}

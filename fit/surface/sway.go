package surface

import (
	"math"
	"slices"
)

// declaredCounts is how many degrees of freedom a declared accuracy counts for
// against what sweeps show: it is a rounded figure of one arm's test, good to a
// third or so, as a standard deviation from four degrees of freedom is.
const declaredCounts = 4.0

// outvoted is the most, times its expectation, that one surface's misfit counts:
// a surface that is not plane after all shall not speak for the arm.
const outvoted = within * within

// The factors that are searched, on what the declared accuracy lets expect: from
// a thousandth to a thousand times its standard deviation; and how often both
// are searched in turn.
const (
	leastFactor = 1e-6
	mostFactor  = 1e6
	turns       = 4
)

// compare finds the share from all surfaces that several sweeps saw, by
// restricted maximum likelihood (Patterson and Thompson, Biometrika 58 (1971)
// 545). What the declared accuracy holds beyond the differences between sweeps,
// even if chance made these small (1 in 20), is common to all of them.
func compare(all []*refined, d drift, declared bool, sweeps int) share {
	planes := make([][]plain, 0, len(all))
	for _, f := range all {
		if len(f.sights) > 1 {
			planes = append(planes, f.planes(d))
		}
	}
	expect := d.declared()
	if len(planes) == 0 {
		return expect
	}
	best := expect
	for range turns {
		best.sweep = likeliest(func(x float64) float64 {
			return unlikely(planes, share{sweep: x * expect.sweep, wave: best.wave})
		}) * expect.sweep
		best.wave = likeliest(func(x float64) float64 {
			return unlikely(planes, share{sweep: best.sweep, wave: x * expect.wave})
		}) * expect.wave
	}
	if !declared {
		return best
	}
	// Every surface shows the same motions again: six of each sweep but the first.
	seen := 6 * float64(sweeps-1)
	toward := func(a, b float64) float64 { return (declaredCounts*a + seen*b) / (declaredCounts + seen) }
	best = share{sweep: toward(expect.sweep, best.sweep), wave: toward(expect.wave, best.wave)}
	best.arm = max(1-best.sweep/chiSquaredShare(0.05, seen), 0)
	return best
}

// unlikely is -2 log restricted likelihood of the sweeps' differences.
func unlikely(planes [][]plain, s share) float64 {
	part := make([]float64, len(planes))
	inParallel(len(planes), func(from, to int) {
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

// likeliest finds the factor at which f is least, by golden section on its
// logarithm.
func likeliest(f func(factor float64) float64) float64 {
	const golden = 0.6180339887498949
	lo, hi := math.Log(leastFactor), math.Log(mostFactor)
	a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
	fa, fb := f(math.Exp(a)), f(math.Exp(b))
	for hi-lo > 0.05 { // 5 % of a variance is less than any sample of sweeps tells
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - golden*(hi-lo)
			fa = f(math.Exp(a))
		} else {
			lo, a, fa = a, b, fb
			b = lo + golden*(hi-lo)
			fb = f(math.Exp(b))
		}
	}
	return math.Exp((lo + hi) / 2)
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

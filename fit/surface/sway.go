package surface

import (
	"math"
	"slices"
)

// share says how far sweeps really differ, in terms of what the arm's declared
// accuracy lets expect.
type share struct {
	sweep float64 // factor on the covariance of a sweep
	arm   float64 // factor on what all sweeps may have in common
}

// declaredCounts is how many degrees of freedom a declared accuracy counts for
// against what sweeps show: it is a rounded figure of one arm's test, good to a
// third or so, as a standard deviation from four degrees of freedom is.
const declaredCounts = 4.0

// outvoted is the most, times its expectation, that one surface's misfit counts:
// a surface that is not plane after all shall not speak for the arm.
const outvoted = within * within

// compare finds the share from all surfaces that several sweeps saw: the factor
// at which the sweeps' differences are what they should be (Paule and Mandel,
// J. Res. NBS 87 (1982) 377). What the declared accuracy holds beyond that does
// not differ between sweeps, and is common to all of them.
func compare(all []*refined, d drift, declared bool, sweeps int) share {
	var free float64
	excess := func(lambda float64) float64 {
		var sum float64
		free = 0
		for i := range all {
			p := all[i].solve(d, lambda)
			sum += min(p.misfit, outvoted*max(p.free, 0)) - p.free
			free += p.free
		}
		return sum
	}
	lo, hi := math.Log(1e-4), math.Log(1e3)
	for range 30 { // to 1e-8 of the range
		mid := (lo + hi) / 2
		if excess(math.Exp(mid)) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	seen := math.Exp(lo)
	// Every surface shows the same motions again: six of a sweep against the rest.
	dof := max(min(free, 6*float64(sweeps-1)), 0)
	if !declared {
		return share{sweep: seen}
	}
	f := (declaredCounts + dof*seen) / (declaredCounts + dof)
	return share{sweep: f, arm: max(1-f, 0)}
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

package surface

import (
	"cmp"
	"math"
	"slices"

	"cellwall/fit/between"
	"cellwall/mapping"
)

// Find extracts the planes and cylinders of a cloud, largest first.
func Find(c *mapping.Cloud) []Surface {
	spots := arrange(c)
	expected, allowed := expect(c, spots)
	allow(spots, allowed)
	f := divide(spots)
	f.join()
	f.contest()
	f.unveil()
	f.contest()
	columns := f.columns()
	faces := f.faces(expected)
	out := f.report(faces, columns, expected, c)
	slices.SortStableFunc(out, func(a, b Surface) int { return cmp.Compare(b.Area, a.Area) })
	return out
}

// leastSway is what sweeps are taken to differ by at least, mm, before their
// surfaces are compared: the best arms repeat to 0.02 (common practice).
const leastSway = 0.02

// expect is how far the sweeps may be off: as the arm is declared, or as they
// are seen to differ where nothing is. allowed is what a surface may be thick by
// it: rather what is seen than what is declared, for an accuracy far wider than
// the sweeps are would make one face of two; and the upper 95 % limit of it, for
// few sweeps tell little of how far a further one may be off.
func expect(c *mapping.Cloud, spots []spot) (expected, allowed sway) {
	seen, ok := unlike(spots)
	seen = max(seen, leastSway)
	motions := 3 * float64(len(c.Scans)-1)
	v, n := seen*seen, motions
	switch {
	case !ok && c.PoseSigma == 0:
		return declared(between.Usual(0)), declared(seen)
	case !ok:
		return declared(c.PoseSigma), declared(c.PoseSigma)
	case c.PoseSigma > 0:
		v, n = toward(declared(c.PoseSigma), declaredCounts, declared(seen), motions).shift, motions+declaredCounts
	}
	allowed = declared(math.Sqrt(v / chiSquaredShare(0.05, n)))
	if c.PoseSigma == 0 {
		return declared(seen), allowed
	}
	return declared(c.PoseSigma), allowed
}

package surface

import (
	"cmp"
	"math"
	"slices"

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
	f.contest()
	columns := f.columns()
	faces := f.faces(expected)
	out := f.report(faces, columns, expected, c.PoseSigma > 0, len(c.Scans))
	slices.SortStableFunc(out, func(a, b Surface) int { return cmp.Compare(b.Area, a.Area) })
	return out
}

// leastSway is what sweeps are taken to differ by at least, mm, before their
// surfaces are compared: the best arms repeat to 0.02 (common practice).
const leastSway = 0.02

// expect is how far the sweeps may be off: as the arm is declared, or as they
// are seen to differ where nothing is. Where both are known, allowed lies
// between them: a declared accuracy that is far wider than the sweeps are would
// make one face of two.
func expect(c *mapping.Cloud, spots []spot) (expected, allowed sway) {
	seen, ok := unlike(spots)
	seen = max(seen, leastSway)
	switch {
	case c.PoseSigma == 0:
		return declared(seen), declared(seen)
	case !ok:
		return declared(c.PoseSigma), declared(c.PoseSigma)
	}
	n := 3 * float64(len(c.Scans)-1)
	v := (declaredCounts*c.PoseSigma*c.PoseSigma + n*seen*seen) / (declaredCounts + n)
	return declared(c.PoseSigma), declared(math.Sqrt(v))
}

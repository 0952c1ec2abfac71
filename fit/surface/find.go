package surface

import (
	"cmp"
	"slices"

	"cellwall/mapping"
)

// Find extracts the planes and cylinders of a cloud, largest first.
func Find(c *mapping.Cloud) []Surface {
	d := drift{c.PoseSigma}
	f := divide(arrange(c, d))
	f.join()
	f.contest()
	f.contest()
	columns := f.columns()
	faces := f.faces(d)
	out := f.report(faces, columns, d, c.PoseSigma > 0, len(c.Scans))
	slices.SortStableFunc(out, func(a, b Surface) int { return cmp.Compare(b.Area, a.Area) })
	return out
}

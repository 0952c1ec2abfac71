package between

import (
	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Each is what a scan may be off the others after they were moved to agree, as one
// sigma: they agree in what they share, so that the data at one place show less.
// It is zero where they are as the arm put them.
func Each(by *mapping.Aligned) mapping.Rigid {
	if by == nil {
		return mapping.Rigid{}
	}
	return by.Each
}

// Common is what scans that were moved to agree may be off by together, for a body
// whose origin is at the given point.
func Common(by *mapping.Aligned, at r3.Vec) (c geom.Cov6) {
	if by == nil {
		return c
	}
	for k := range 3 {
		c[k][k] = by.Common.Shift * by.Common.Shift
		c[3+k][3+k] = by.Common.Turn * by.Common.Turn
	}
	return c.At(r3.Sub(at, by.Middle()))
}

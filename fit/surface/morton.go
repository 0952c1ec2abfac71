package surface

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// leaf is the edge of the smallest node, mm: half of the narrowest face that is
// looked for, so that one node at least lies wholly on it.
const leaf = 10.0

// half of the grid, in leaves: 10 km on either side of the base.
const half = 1 << 20

// The bits of a Morton code that belong to one axis.
const (
	xBits uint64 = 0x1249249249249249
	yBits        = xBits << 1
	zBits        = xBits << 2
)

// morton interleaves the leaf coordinates of p, 21 bits each, so that the cubes
// of an octree are ranges of the codes (Morton 1966; Samet, Foundations of
// Multidimensional and Metric Data Structures, 2.1.2.4). What lies beyond the
// grid is held at its rim.
func morton(p r3.Vec) uint64 {
	return interleave(p.X) | interleave(p.Y)<<1 | interleave(p.Z)<<2
}

// interleave puts two zero bits between the bits of a leaf coordinate.
func interleave(x float64) uint64 {
	u := uint64(min(max(math.Floor(x/leaf)+half, 0), 2*half-1))
	u = (u | u<<32) & 0x1f00000000ffff
	u = (u | u<<16) & 0x1f0000ff0000ff
	u = (u | u<<8) & 0x100f00f00f00f00f
	u = (u | u<<4) & 0x10c30c30c30c30c3
	return (u | u<<2) & xBits
}

// step moves a code by one cube along the axis of mask. The bits of the other
// axes are set while adding, so that the carry runs through them.
func step(code, mask uint64, by int) uint64 {
	one := mask & -mask
	switch {
	case by > 0:
		return ((code|^mask)+one)&mask | code&^mask
	case by < 0:
		return ((code&mask)-one)&mask | code&^mask
	}
	return code
}

// around returns the codes of the 26 cubes about code.
func around(code uint64) (out [26]uint64) {
	i := 0
	for dz := -1; dz <= 1; dz++ {
		z := step(code, zBits, dz)
		for dy := -1; dy <= 1; dy++ {
			y := step(z, yBits, dy)
			for dx := -1; dx <= 1; dx++ {
				if dx|dy|dz != 0 {
					out[i] = step(y, xBits, dx)
					i++
				}
			}
		}
	}
	return out
}

package mapping

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// The voxels' edges follow the range from which a point was measured, for so do
// the spacing of the points and their noise. A line of 60 to 100 degrees is
// sampled at 600 to 2000 points (common practice), 1 to 2 mrad apart: an edge of
// 5.5 mrad of the range takes in three to five of them at the far end of its
// band and keeps a plane of its own there.
const (
	finestEdge = 5.0   // mm
	nearBand   = 900.0 // mm: up to here the finest edge; every doubling doubles it
	farLevel   = 2     // 20 mm: the coarsest edge that range alone asks for
	lastLevel  = 8     // 1280 mm: the coarsest that a thin cloud is folded to
)

// farthest is how far from the base, along each axis, a point can lie: no cell
// is that large, so what lies beyond is a mistaken return. Indices of the finest
// grid within it fit indexBits.
const (
	farthest  = 1e6 // mm
	indexBits = 20
	indexMid  = 1 << (indexBits - 1)
)

// gridOrigin shifts the grids of all levels against the base so that a round
// coordinate does not fall on a boundary, where noise would split a floor at
// z = 0 into two layers: for a power of two times the finest edge, divided by
// three, zero lies at one or two thirds of its voxel on every level.
const gridOrigin = -finestEdge * (1 << (lastLevel + 1)) / 3

// key names a voxel: its level, then its index along X, Y, Z.
type key uint64

func edgeOf(level int) float64 { return finestEdge * float64(int(1)<<level) }

// levelFor is the level for a point measured from range r, mm.
func levelFor(r float64) int {
	switch {
	case r < nearBand:
		return 0
	case r < 2*nearBand:
		return 1
	}
	return farLevel
}

// keyAt names the voxel of a level that holds p; all coordinates of p are
// within farthest.
func keyAt(level int, p r3.Vec) key {
	perEdge := 1 / edgeOf(level)
	x := uint64(int(math.Floor((p.X-gridOrigin)*perEdge)) + indexMid)
	y := uint64(int(math.Floor((p.Y-gridOrigin)*perEdge)) + indexMid)
	z := uint64(int(math.Floor((p.Z-gridOrigin)*perEdge)) + indexMid)
	return key(uint64(level)<<(3*indexBits) | x<<(2*indexBits) | y<<indexBits | z)
}

func (k key) level() int { return int(k >> (3 * indexBits)) }

func (k key) index() (x, y, z int) {
	const mask = 1<<indexBits - 1
	return int(k>>(2*indexBits)&mask) - indexMid, int(k>>indexBits&mask) - indexMid, int(k&mask) - indexMid
}

// centre is the middle of the voxel, base frame, mm.
func (k key) centre() r3.Vec {
	x, y, z := k.index()
	e := edgeOf(k.level())
	return r3.Vec{
		X: gridOrigin + (float64(x)+0.5)*e,
		Y: gridOrigin + (float64(y)+0.5)*e,
		Z: gridOrigin + (float64(z)+0.5)*e,
	}
}

// next is the voxel dx, dy, dz further on the same level.
func (k key) next(dx, dy, dz int) key {
	return k + key(dx)<<(2*indexBits) + key(dy)<<indexBits + key(dz)
}

// ancestor is the voxel of a coarser level, or of k's own, that holds k.
func (k key) ancestor(level int) key {
	x, y, z := k.index()
	up := level - k.level()
	return key(uint64(level)<<(3*indexBits) |
		uint64((x>>up)+indexMid)<<(2*indexBits) | uint64((y>>up)+indexMid)<<indexBits | uint64((z>>up)+indexMid))
}

// parent is the voxel of the next coarser level that holds k.
func (k key) parent() key { return k.ancestor(k.level() + 1) }

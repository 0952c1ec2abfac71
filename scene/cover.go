package scene

import (
	"cellwall/mapping"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// cover tells which voxels lie inside the grown solids. A grid over the cloud
// lists the solids near each place, so that a voxel meets few of them.
type cover struct {
	cloud  *mapping.Cloud
	margin float64
	solids []solid.Solid
	bounds geom.Bounds
	cell   float64
	n      [3]int
	near   [][]int32 // solids whose grown bounds touch the grid's cell
}

// Cells of the grid: about as large as a solid is thick with its margin, fewer
// where the cloud is wide.
const (
	leastCell = 150.0 // mm
	mostCells = 64    // along an axis
)

func newCover(cloud *mapping.Cloud, margin float64) *cover {
	c := &cover{cloud: cloud, margin: margin, bounds: geom.NoBounds()}
	for i := range cloud.Voxels {
		c.bounds.Extend(cloud.Voxels[i].Bounds.Min)
		c.bounds.Extend(cloud.Voxels[i].Bounds.Max)
	}
	if c.bounds.Empty() {
		c.bounds = geom.Bounds{}
	}
	size := r3.Sub(c.bounds.Max, c.bounds.Min)
	c.cell = max(leastCell, max(size.X, size.Y, size.Z)/mostCells)
	c.n = [3]int{1 + int(size.X/c.cell), 1 + int(size.Y/c.cell), 1 + int(size.Z/c.cell)}
	c.near = make([][]int32, c.n[0]*c.n[1]*c.n[2])
	return c
}

// add takes in more solids.
func (c *cover) add(solids ...solid.Solid) {
	for _, s := range solids {
		id := int32(len(c.solids))
		c.solids = append(c.solids, s)
		b := s.Bounds(c.margin)
		lo, hi := c.at(b.Min), c.at(b.Max)
		for x := lo[0]; x <= hi[0]; x++ {
			for y := lo[1]; y <= hi[1]; y++ {
				for z := lo[2]; z <= hi[2]; z++ {
					k := c.index([3]int{x, y, z})
					c.near[k] = append(c.near[k], id)
				}
			}
		}
	}
}

// at is the cell of p, the nearest one where p lies outside the grid.
func (c *cover) at(p r3.Vec) [3]int {
	d := r3.Scale(1/c.cell, r3.Sub(p, c.bounds.Min))
	return [3]int{
		min(max(int(d.X), 0), c.n[0]-1), min(max(int(d.Y), 0), c.n[1]-1), min(max(int(d.Z), 0), c.n[2]-1),
	}
}

func (c *cover) index(at [3]int) int { return (at[0]*c.n[1]+at[1])*c.n[2] + at[2] }

// halvings is how often a box that no single solid holds is halved along its
// longest side before it counts as not held: a voxel in a corner of the room is
// held by the floor and the wall together, and eighths of its edges, a few
// millimetres, are well below the margins that overlap there.
const halvings = 9

// holds tells whether every point of b lies in some grown solid. The proof is
// exact one way: what it calls held is.
func (c *cover) holds(b geom.Bounds) bool { return c.held(b, halvings) }

func (c *cover) held(b geom.Bounds, depth int) bool {
	mid := r3.Scale(0.5, r3.Add(b.Min, b.Max))
	touched := false
	for _, id := range c.near[c.index(c.at(mid))] {
		if c.solids[id].Holds(b, c.margin) {
			return true
		}
		touched = touched || c.solids[id].Contains(mid, c.margin)
	}
	if !touched || depth == 0 {
		return false
	}
	lo, hi := halves(b, mid)
	return c.held(lo, depth-1) && c.held(hi, depth-1)
}

// halves of b across its longest side.
func halves(b geom.Bounds, mid r3.Vec) (lo, hi geom.Bounds) {
	lo, hi = b, b
	switch size := r3.Sub(b.Max, b.Min); max(size.X, size.Y, size.Z) {
	case size.X:
		lo.Max.X, hi.Min.X = mid.X, mid.X
	case size.Y:
		lo.Max.Y, hi.Min.Y = mid.Y, mid.Y
	default:
		lo.Max.Z, hi.Min.Z = mid.Z, mid.Z
	}
	return lo, hi
}

// left are the indices of the cloud's voxels that are not held, ascending.
func (c *cover) left() []int32 {
	held := make([]bool, len(c.cloud.Voxels))
	cores.Each(len(held), func(i int) { held[i] = c.holds(c.cloud.Voxels[i].Bounds) })
	var out []int32
	for i, h := range held {
		if !h {
			out = append(out, int32(i))
		}
	}
	return out
}

package fit

import (
	"math"

	"cellwall/fit/surface"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Faces of one block meet at a right angle within blockSquare, and their
// outlines end within blockGap mm of the common edge: points at the edge are
// dropped as mixed, and the edge may be rounded or chamfered.
const (
	blockSquare = 8 * math.Pi / 180
	blockGap    = 50
)

// minBlockFace is the least area of a face of a block, mm^2: 50 mm square.
const minBlockFace = 2500

// findBlocks gathers faces that meet in convex edges and makes a box of each
// set. A set with a good part of the cloud within it is hollow and no block.
func (s *survey) findBlocks() []Object {
	faces := s.free(func(f *surface.Surface) bool {
		return f.Cylinder == nil && f.Area >= minBlockFace && (s.upright(f) || s.horizontal(f))
	})
	var blocks []Object
	for _, set := range s.convexSets(faces) {
		if c, ok := s.crateOf(set); ok && !c.panel() && !s.hollow(c.box()) {
			blocks = append(blocks, s.block(c, set))
		}
	}
	return blocks
}

// A panel has an end that was seen, and is no block: a fence is at most thinFence
// mm thick (common practice: 20 to 60 with its posts), a wall thickWall (common
// practice: partitions 75 to 150, masonry 115 to 365).
const (
	thinFence = 80
	thickWall = 400
)

// panel tells whether a crate is a fence's panel, or the end of a wall: thin and
// wide, and a wall higher than what stands in a room.
func (c *crate) panel() bool {
	size := c.box().Size
	thick, wide := min(size.X, size.Y), max(size.X, size.Y)
	return wide > minFence && (thick < thinFence && size.Z > minWallTop || thick < thickWall && size.Z > tallThing)
}

// loneFace is the least area of an upright face that is called a block though
// nothing else of it was seen, mm^2: a cabinet seen from straight before it.
const loneFace = 0.1e6

// findLoneFaces makes blocks of things of which one upright face was seen and no depth: the
// block has the face and no box.
func (s *survey) findLoneFaces() []Object {
	var blocks []Object
	for _, group := range s.groups(s.free(s.upright), thingGap) {
		if s.area(group) < loneFace {
			continue
		}
		if c, ok := s.crateOf(group); ok {
			o := s.block(c, group)
			o.Parts = nil
			delete(o.Measures, "depth_mm")
			blocks = append(blocks, o)
		}
	}
	return blocks
}

// horizontal tells whether f is a plane that lies flat, seen from either side.
func (s *survey) horizontal(f *surface.Surface) bool {
	return f.Cylinder == nil && math.Abs(r3.Dot(f.Plane.Normal, s.up)) > math.Cos(square)
}

// convexSets are the connected sets of faces that look in two directions at
// least.
func (s *survey) convexSets(faces []int) [][]int {
	set := make([]int, len(faces)) // the set of each face, by its first member
	for i := range set {
		set[i] = i
	}
	for i := range faces {
		for j := i + 1; j < len(faces); j++ {
			if meet(&s.surfaces[faces[i]], &s.surfaces[faces[j]]) {
				from, to := max(set[i], set[j]), min(set[i], set[j])
				for k := range set {
					if set[k] == from {
						set[k] = to
					}
				}
			}
		}
	}
	var out [][]int
	for i := range faces {
		var members []int
		for k := range faces {
			if set[k] == i {
				members = append(members, faces[k])
			}
		}
		if s.turns(members) {
			out = append(out, members)
		}
	}
	return out
}

// turns tells whether the faces of a set look in more than one direction: pieces
// of one face alone make no block.
func (s *survey) turns(set []int) bool {
	for _, i := range set {
		if tilt(s.surfaces[i].Plane.Normal, s.surfaces[set[0]].Plane.Normal) > math.Pi/4 {
			return true
		}
	}
	return false
}

// meet tells whether two faces meet in a convex edge, or are neighbouring
// pieces of one face.
func meet(a, b *surface.Surface) bool {
	if coplanar(a, b) {
		return gapBetween(a.Outline, b.Outline) < blockGap
	}
	if math.Abs(r3.Dot(a.Plane.Normal, b.Plane.Normal)) > math.Sin(blockSquare) {
		return false
	}
	if !endsAt(a, b.Plane) || !endsAt(b, a.Plane) {
		return false
	}
	along := r3.Unit(r3.Cross(a.Plane.Normal, b.Plane.Normal))
	alo, ahi := span(a.Outline, along)
	blo, bhi := span(b.Outline, along)
	return min(ahi, bhi)-max(alo, blo) > 0.5*min(ahi-alo, bhi-blo)
}

// endsAt tells whether f lies behind the plane and reaches up to it.
func endsAt(f *surface.Surface, pl geom.Plane) bool {
	_, hi := span(f.Outline, pl.Normal)
	return math.Abs(hi-pl.Offset) < blockGap && pl.Distance(f.Centre) < 0
}

// gapBetween is the least distance between corners of two outlines, mm.
func gapBetween(a, b []r3.Vec) float64 {
	gap := math.Inf(1)
	for _, p := range a {
		for _, q := range b {
			gap = min(gap, r3.Norm(r3.Sub(p, q)))
		}
	}
	return gap
}

// hollow tells whether something was seen well inside the box.
func (s *survey) hollow(box geom.Box) bool {
	if min(box.Size.X, box.Size.Y, box.Size.Z) <= 2*blockGap {
		return false
	}
	core := box.Grown(-blockGap)
	reach2 := r3.Norm2(core.Size) / 4 // of its corners from its middle
	area := 0.0
	for i := range s.cloud.Voxels {
		p := s.cloud.Voxels[i].Mean
		if s.weight[i] > 0 && r3.Norm2(r3.Sub(p, core.Pose.T)) <= reach2 && core.Contains(p) {
			area += s.weight[i]
		}
	}
	return area > minBlockFace
}

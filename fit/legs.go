package fit

import (
	"math"

	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// Points count as under a table top between these distances from the floor and
// from the top, mm: clear of the floor's own noise and of the top's board, apron
// and rails.
const (
	overFloor = 40
	underTop  = 120
)

// beneath lists the voxels under the top, in the frame of the top, with their
// height above the floor.
func (s *survey) beneath(t *tabletop) (in []r3.Vec, height, area []float64) {
	frame := t.frame.Inverse()
	for i := range s.cloud.Voxels {
		if s.weight[i] == 0 {
			continue
		}
		p := frame.Apply(s.cloud.Voxels[i].Mean)
		if p.Z < -underTop/2 && t.extent.contains(p) {
			in = append(in, p)
			height = append(height, s.height(s.cloud.Voxels[i].Mean))
			area = append(area, s.weight[i])
		}
	}
	return in, height, area
}

// seenUnder is the share of the top's footprint in which the floor must have
// been seen, or something else well inside it: less could be a block's edge.
const seenUnder = 0.02

// roomUnder tells whether something was seen under the top, away from its rim:
// the top of a solid block has nothing beneath it.
func (s *survey) roomUnder(t *tabletop) bool {
	in, _, area := s.beneath(t)
	core := t.extent.grown(-rimWidth)
	seen := 0.0
	for i, p := range in {
		if core.contains(p) {
			seen += area[i]
		}
	}
	return seen > seenUnder*t.extent.size(0)*t.extent.size(1)
}

// solidUnder tells whether an upright face goes down from the top's rim further than
// deep mm, as the side of a block does and a table's edge does not.
func (s *survey) solidUnder(t *tabletop, deep float64) bool {
	top := s.height(t.top.Centre)
	for e := range t.ends {
		a, b := e/2, 1-e/2
		for _, i := range s.everyPlane(t.outward(e)) {
			f := &s.surfaces[i]
			lo, hi := s.heights(f)
			r := projectOn(t.frame, f.Outline)
			off := math.Abs((r.lo[a]+r.hi[a])/2 - t.extent.edge(a, e%2))
			along := min(r.hi[b], t.extent.hi[b]) - max(r.lo[b], t.extent.lo[b])
			if off < rimWidth && along > blockShare*t.extent.size(b) && hi > top-rimWidth && lo < top-deep {
				return true
			}
		}
	}
	return false
}

// A block's side runs along blockShare of its rim at least and goes down further
// than blockSide mm, which an apron or a drawer under a table does not. One that was
// seen further down than apronSide may: a board with its apron or rails is 60 to 160
// (common practice).
const (
	blockShare = 0.4
	blockSide  = 350
	apronSide  = 200
)

// rimWidth is how far a block's upright faces may be from the rim of its top,
// mm: an overhanging worktop.
const rimWidth = 60

// A leg is a bundle of points at most maxLeg mm across that spans most of the
// height under the top (common practice: tubes of 40 to 100 mm).
const (
	maxLeg  = 180
	legGap  = 60
	legRise = 0.5
)

// legs are boxes about the bundles of points that rise from the floor to the
// top.
func (s *survey) legs(t *tabletop) []geom.Box {
	in, height, _ := s.beneath(t)
	var points []r3.Vec
	for i, p := range in {
		if height[i] > overFloor && p.Z < -underTop {
			points = append(points, p)
		}
	}
	tall := s.height(t.frame.T)
	var out []geom.Box
	for _, c := range bundles(points) {
		size := r3.Sub(c.Max, c.Min)
		if size.X < maxLeg && size.Y < maxLeg && size.Z > legRise*(tall-underTop-overFloor) {
			out = append(out, legBox(t.frame, c, tall))
		}
	}
	return out
}

// legBox reaches from the floor to the top whatever part of the leg was seen.
func legBox(frame geom.Pose, c geom.Bounds, tall float64) geom.Box {
	mid := r3.Scale(0.5, r3.Add(c.Min, c.Max))
	mid.Z = -tall / 2
	size := r3.Sub(c.Max, c.Min)
	size.Z = tall
	return geom.Box{Pose: geom.Pose{R: frame.R, T: frame.Apply(mid)}, Size: size}
}

// bundles gathers points whose footprints lie within legGap of each other, in
// the order of their first points.
func bundles(points []r3.Vec) []geom.Bounds {
	type square struct{ x, y int }
	at := func(p r3.Vec) square { return square{int(math.Floor(p.X / legGap)), int(math.Floor(p.Y / legGap))} }
	cells := map[square][]int{}
	for i, p := range points {
		cells[at(p)] = append(cells[at(p)], i)
	}
	var out []geom.Bounds
	for _, p := range points {
		if cells[at(p)] == nil {
			continue
		}
		b := geom.NoBounds()
		for stack := []square{at(p)}; len(stack) > 0; {
			c := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if cells[c] == nil {
				continue
			}
			for _, i := range cells[c] {
				b.Extend(points[i])
			}
			delete(cells, c)
			for dx := -1; dx <= 1; dx++ {
				for dy := -1; dy <= 1; dy++ {
					stack = append(stack, square{c.x + dx, c.y + dy})
				}
			}
		}
		out = append(out, b)
	}
	return out
}

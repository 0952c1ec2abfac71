package scene

import (
	"cellwall/fit/surface"
	"cellwall/mapping/geom"
	"cellwall/scene/outline"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// leastThick is how thick a slab is at least, mm: as sheet metal.
	leastThick = 1
	// opposed is the cosine beyond which two planes face away from each other: 8
	// degrees, what a bent or leaning sheet's two sides may differ by.
	opposed = -0.99
)

// slabs are the solids behind a plane as it was seen: its outline, cut into
// convex pieces, each as deep as is known to be solid or not seen, and no deeper
// than the cell says or deepest. Gaps in the outline through which something was seen, and
// doors, stay open; what is unseen is not free, so other gaps are filled. So are
// gaps that the margins close from both sides.
func (b *builder) slabs(s *surface.Surface, deepest float64, doors ...[]r3.Vec) ([]solid.Solid, error) {
	frame := s.Plane.Frame(s.Centre)
	skin := leastThick + 4*s.RMS // of 10^4 points one is further from the plane than 4 sigma
	region := outline.Region{
		Outer: flattened(frame, s.Outline), Holes: flattenedAll(frame, s.Holes), Doors: flattenedAll(frame, doors),
	}
	region.Through = append(b.through(frame, region.Outer, skin), b.clearAcross(frame, region.Outer)...)
	depth := max(leastThick, min(b.behind, deepest, b.thickness(s)))
	var out []solid.Solid
	for _, piece := range region.Pieces(2 * b.margin) {
		d := max(leastThick, b.beforeClear(frame, piece, b.clearBehind(frame, piece, depth, skin)))
		piece = outline.Hull(piece, solid.Resolution)
		if piece == nil {
			continue // thinner than a solid can be: its points end up in the remainder
		}
		p, err := solid.NewPrism(lifted(frame, piece), r3.Scale(-1, s.Plane.Normal), d)
		if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	return out, nil
}

func flattenedAll(frame geom.Pose, rings [][]r3.Vec) []outline.Ring {
	out := make([]outline.Ring, len(rings))
	for i, r := range rings {
		out[i] = flattened(frame, r)
	}
	return out
}

func flattened(frame geom.Pose, ring []r3.Vec) outline.Ring {
	toPlane := frame.Inverse()
	out := make(outline.Ring, len(ring))
	for i, p := range ring {
		q := toPlane.Apply(p)
		out[i] = r2.Vec{X: q.X, Y: q.Y}
	}
	return out
}

func lifted(frame geom.Pose, ring outline.Ring) []r3.Vec {
	out := make([]r3.Vec, len(ring))
	for i, p := range ring {
		out[i] = frame.Apply(r3.Vec{X: p.X, Y: p.Y})
	}
	return out
}

// thickness of the sheet that s is one side of: the distance to the nearest
// plane behind it that faces the other way and lies behind at least half of the
// smaller of the two. Where there is none it is as deep as a slab goes.
func (b *builder) thickness(s *surface.Surface) float64 {
	least := b.behind
	frame := s.Plane.Frame(s.Centre)
	mine := outline.Hull(flattened(frame, s.Outline), 0)
	for _, o := range b.sheets {
		if r3.Dot(o.Plane.Normal, s.Plane.Normal) > opposed {
			continue
		}
		d := -s.Plane.Distance(o.Centre)
		if d < -4*(s.RMS+o.RMS) || d >= least {
			continue
		}
		theirs := outline.Hull(flattened(frame, o.Outline), 0)
		if 2*shared(mine, theirs) >= min(mine.Area(), theirs.Area()) {
			least = d
		}
	}
	return least
}

// shared is the area that two convex rings have in common.
func shared(a, b outline.Ring) float64 {
	for _, l := range b.Sides() {
		if a = a.Clip(l); len(a) < 3 {
			return 0
		}
	}
	return a.Area()
}

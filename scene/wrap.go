package scene

import (
	"errors"
	"slices"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

// boxy is how much larger than the hull of its content a box may be to stand in
// for it: a box has 8 corners, a hull of voxels some tens.
const boxy = 1.3

// wrap puts convex solids round boxes so that no point of a solid is further
// than about two cells of the grid from one of the boxes: a set whose hull
// reaches out further is split in two, and each part again. The solids are boxes
// where these fit, hulls elsewhere. One that swallows tells to take too much clear
// space is split too.
func (g grid) wrap(boxes []geom.Bounds, swallows func(solid.Solid) bool) ([]solid.Solid, error) {
	var out []solid.Solid
	todo := g.clusters(g.gathered(boxes))
	slices.Reverse(todo)
	for len(todo) > 0 {
		set := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		s, err := g.tight(set, swallows)
		if err != nil {
			return nil, err
		}
		if s != nil {
			out = append(out, s)
			continue
		}
		a, b := g.halve(set)
		todo = append(todo, b, a)
	}
	return out, nil
}

// tight is the solid round a set, nil where that is wasteful. Some of the set
// tell first: a hull that is wasteful round them is so round all.
func (g grid) tight(set []geom.Bounds, swallows func(solid.Solid) bool) (solid.Solid, error) {
	const some = 100
	if every := len(set) / some; every > 1 {
		var few []geom.Bounds
		for i := 0; i < len(set); i += every {
			few = append(few, set[i])
		}
		s, err := hullRound(few)
		if err != nil || g.wasteful(s, set) {
			return nil, err
		}
	}
	s, err := hullRound(set)
	if err != nil || len(set) > 1 && (g.wasteful(s, set) || swallows(s)) {
		return nil, err
	}
	return s, nil
}

// hullRound is the box or the hull round a set.
func hullRound(set []geom.Bounds) (solid.Solid, error) {
	all := geom.NoBounds()
	points := make([]r3.Vec, 0, 8*len(set))
	for _, b := range set {
		all.Extend(b.Min)
		all.Extend(b.Max)
		for _, c := range boxOf(b).Corners() {
			points = append(points, c)
		}
	}
	box := solid.Box{Box: boxOf(all)}
	h, err := solid.NewHull(points)
	if errors.Is(err, solid.ErrFlat) || err == nil && box.Volume() <= boxy*h.Volume() {
		return box, nil
	}
	return h, err
}

func boxOf(b geom.Bounds) geom.Box {
	return geom.Box{
		Pose: geom.Pose{R: geom.IdentityRot(), T: r3.Scale(0.5, r3.Add(b.Min, b.Max))},
		Size: r3.Sub(b.Max, b.Min),
	}
}

// wasteful tells whether the solid reaches further than a cell beyond the cells
// that the set occupies: at any cell's middle inside it.
func (g grid) wasteful(s solid.Solid, set []geom.Bounds) bool {
	cells := g.occupied(set)
	// The cells and their neighbours' volume is the most that can be spared.
	if s.Volume() > 27*float64(g*g*g)*float64(len(cells)) {
		return true
	}
	b := s.Bounds(0)
	lo, hi := g.at(b.Min), g.at(b.Max)
	waste := false
	for x := lo[0]; x <= hi[0] && !waste; x++ {
		each(place{x, lo[1], lo[2]}, place{x, hi[1], hi[2]}, func(c place) {
			if waste || !s.Contains(g.middle(c), 0) {
				return
			}
			waste = !beside(cells, c)
		})
	}
	return waste
}

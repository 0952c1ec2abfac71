package scene

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"cellwall/mapping/geom"
	"cellwall/scene/solid"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// grain is the edge of the cells in which wrapping counts what is occupied,
	// mm: about a voxel.
	grain = 25
	// boxy is how much larger than the hull of its content a box may be to stand
	// in for it: a box has 8 corners, a hull of voxels some tens.
	boxy = 1.3
)

// wrap puts convex solids round boxes so that no point of a solid is further
// than about two grains from one of the boxes: a set whose hull reaches out
// further is split in two, and each part again. The solids are boxes where these
// fit, hulls elsewhere.
func wrap(boxes []geom.Bounds) ([]solid.Solid, error) {
	var out []solid.Solid
	todo := clusters(gathered(boxes))
	slices.Reverse(todo)
	for len(todo) > 0 {
		set := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		s, err := hullRound(set)
		if err != nil {
			return nil, err
		}
		if len(set) == 1 || !wasteful(s, set) {
			out = append(out, s)
			continue
		}
		a, b := halve(set)
		todo = append(todo, b, a)
	}
	return out, nil
}

// gathered joins the boxes whose middles share a cell, in the order in which
// the cells are first met.
func gathered(boxes []geom.Bounds) []geom.Bounds {
	at := make(map[place]int)
	var out []geom.Bounds
	for _, b := range boxes {
		c := placeOf(r3.Scale(0.5, r3.Add(b.Min, b.Max)))
		i, ok := at[c]
		if !ok {
			i = len(out)
			at[c] = i
			out = append(out, b)
		}
		out[i].Extend(b.Min)
		out[i].Extend(b.Max)
	}
	return out
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

// place is a cell of the wrapping's grid.
type place [3]int32

func placeOf(p r3.Vec) place {
	return place{int32(math.Floor(p.X / grain)), int32(math.Floor(p.Y / grain)), int32(math.Floor(p.Z / grain))}
}

// occupied are the cells that the boxes touch.
func occupied(set []geom.Bounds) map[place]bool {
	cells := make(map[place]bool)
	for _, b := range set {
		each(placeOf(b.Min), placeOf(b.Max), func(c place) { cells[c] = true })
	}
	return cells
}

// each visits the cells from lo to hi.
func each(lo, hi place, visit func(place)) {
	for x := lo[0]; x <= hi[0]; x++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for z := lo[2]; z <= hi[2]; z++ {
				visit(place{x, y, z})
			}
		}
	}
}

// wasteful tells whether the solid reaches further than a cell beyond the cells
// that the set occupies: at any cell's middle inside it.
func wasteful(s solid.Solid, set []geom.Bounds) bool {
	cells := occupied(set)
	// The cells and their neighbours' volume is the most that can be spared.
	if s.Volume() > 27*grain*grain*grain*float64(len(cells)) {
		return true
	}
	b := s.Bounds(0)
	lo, hi := placeOf(b.Min), placeOf(b.Max)
	waste := false
	for x := lo[0]; x <= hi[0] && !waste; x++ {
		each(place{x, lo[1], lo[2]}, place{x, hi[1], hi[2]}, func(c place) {
			if waste || !s.Contains(middle(c), 0) {
				return
			}
			waste = !beside(cells, c)
		})
	}
	return waste
}

func middle(c place) r3.Vec {
	return r3.Vec{X: (float64(c[0]) + .5) * grain, Y: (float64(c[1]) + .5) * grain, Z: (float64(c[2]) + .5) * grain}
}

// beside tells whether c or one of its 26 neighbours is occupied.
func beside(cells map[place]bool, c place) bool {
	found := false
	each(place{c[0] - 1, c[1] - 1, c[2] - 1}, place{c[0] + 1, c[1] + 1, c[2] + 1}, func(n place) {
		found = found || cells[n]
	})
	return found
}

// clusters parts the boxes into sets whose cells touch each other or leave one
// cell between them.
func clusters(boxes []geom.Bounds) [][]geom.Bounds {
	in := make(map[place][]int32)
	for i, b := range boxes {
		each(placeOf(b.Min), placeOf(b.Max), func(c place) { in[c] = append(in[c], int32(i)) })
	}
	taken := make([]bool, len(boxes))
	var out [][]geom.Bounds
	for i := range boxes {
		if taken[i] {
			continue
		}
		taken[i] = true
		var set []geom.Bounds
		for todo := []int32{int32(i)}; len(todo) > 0; {
			b := boxes[todo[len(todo)-1]]
			todo = todo[:len(todo)-1]
			set = append(set, b)
			lo, hi := placeOf(b.Min), placeOf(b.Max)
			each(place{lo[0] - 2, lo[1] - 2, lo[2] - 2}, place{hi[0] + 2, hi[1] + 2, hi[2] + 2}, func(c place) {
				for _, k := range in[c] {
					if !taken[k] {
						taken[k] = true
						todo = append(todo, k)
					}
				}
			})
		}
		out = append(out, set)
	}
	return out
}

// halve splits a set of two or more across one of its principal axes, where its
// members end up in least space on average: the volume of a block of even
// density with the same second moments, plus a grain on each side.
func halve(set []geom.Bounds) (a, b []geom.Bounds) {
	var all geom.Moments
	for _, v := range set {
		all.Add(boxOf(v).Pose.T, 1)
	}
	_, axes := all.Scatter.Eigen()
	least := math.Inf(1)
	for k := range 3 {
		sorted := slices.Clone(set)
		axis := axes.Axis(k)
		slices.SortStableFunc(sorted, func(p, q geom.Bounds) int {
			return cmp.Compare(r3.Dot(axis, boxOf(p).Pose.T), r3.Dot(axis, boxOf(q).Pose.T))
		})
		if at, v := cheapest(sorted); v < least {
			least, a, b = v, sorted[:at], sorted[at:]
		}
	}
	return a, b
}

// cheapest is where to cut a sorted set, and the sum over its members of the
// volume that the part of each fills then.
func cheapest(sorted []geom.Bounds) (at int, least float64) {
	n := len(sorted)
	before := make([]float64, n) // filled by the first i
	var m geom.Moments
	for i, v := range sorted {
		before[i] = fills(m)
		m.Add(boxOf(v).Pose.T, 1)
	}
	least = math.Inf(1)
	m = geom.Moments{}
	for i := n - 1; i > 0; i-- {
		m.Add(boxOf(sorted[i]).Pose.T, 1)
		if v := before[i] + fills(m); v < least {
			at, least = i, v
		}
	}
	return at, least
}

// fills is the number of members times the volume of the block with their
// moments m, grown by half a grain. A side of a block of even density is sqrt(12)
// standard deviations long.
func fills(m geom.Moments) float64 {
	if m.N == 0 {
		return 0
	}
	w, _ := m.Scatter.Eigen()
	v := m.N
	for _, s := range w {
		v *= math.Sqrt(12*max(s, 0)/m.N) + grain
	}
	return v
}

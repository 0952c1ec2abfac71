package surface

import (
	"cmp"
	"math"
	"slices"

	"cellwall/mapping"
	"cellwall/mapping/geom/flat"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// rounds of seeding: what the large regions of a round leave free may seed
// small ones, the back of a sheet for instance.
const rounds = 4

// Find extracts the planes of a cloud, largest first.
func Find(c *mapping.Cloud) []Surface {
	t := newTree(c, drift{c.PoseSigma})
	var regions []region
	for range rounds {
		more := t.extract(int32(len(regions)))
		if len(more) == 0 {
			break
		}
		regions = append(regions, more...)
		t.sumUp()
	}
	out := make([]Surface, len(regions))
	forEach(len(regions), func(i int) { out[i] = t.surface(&regions[i]) })
	slices.SortStableFunc(out, func(a, b Surface) int { return cmp.Compare(b.Area, a.Area) })
	return out
}

// extract grows regions from the seeds among the free spots and gives them
// numbers from first on.
func (t *tree) extract(first int32) []region {
	var out []region
	g := newGrower(t)
	for _, s := range t.seeds() {
		if !g.fresh(s) {
			continue
		}
		r := g.grow(s)
		if len(r.members) < seedSpots {
			continue
		}
		for _, m := range r.members {
			t.owner[m] = first + int32(len(out))
		}
		out = append(out, r)
	}
	return out
}

// fresh tells whether most of a seed is still free.
func (t *tree) fresh(s seed) bool {
	nd := &t.levels[s.level][s.node]
	free := 0.0
	for i := nd.first; i < nd.last; i++ {
		if t.owner[i] < 0 {
			free += t.spots[i].N
		}
	}
	return free > nd.points/2
}

// surface describes a region.
func (t *tree) surface(r *region) Surface {
	s := Surface{Plane: r.plane, Points: int(r.points)}
	frame := r.plane.Frame(r.Mean)
	back := frame.Inverse()
	var pts []r2.Vec
	var squares float64
	for _, m := range r.members {
		sp := &t.spots[m]
		s.Voxels = append(s.Voxels, sp.voxel)
		s.Scans = append(s.Scans, sp.scan)
		p := back.Apply(sp.Mean)
		pts = append(pts, r2.Vec{X: p.X, Y: p.Y})
		squares += sp.SquaresTo(r.plane)
	}
	slices.Sort(s.Voxels)
	slices.Sort(s.Scans)
	s.Scans = slices.Compact(s.Scans)
	s.RMS = math.Sqrt(squares / r.points)
	hull := flat.Hull(pts)
	s.Area = flat.Area(hull)
	c := flat.Centroid(hull)
	s.Centre = frame.Apply(r3.Vec{X: c.X, Y: c.Y})
	for _, p := range hull {
		s.Outline = append(s.Outline, frame.Apply(r3.Vec{X: p.X, Y: p.Y}))
	}
	s.Cov[0][0] = 1 / r.N
	_, w := r.Plane()
	s.Cov[1][1], s.Cov[2][2] = 1/(r.N*w[1]), 1/(r.N*w[1])
	return s
}

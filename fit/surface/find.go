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

// Find extracts the planes of a cloud, largest first.
func Find(c *mapping.Cloud) []Surface {
	f := divide(arrange(c, drift{c.PoseSigma}))
	f.join()
	f.contest()
	f.contest()
	parts := make([][]Surface, len(f.regions))
	forEach(len(f.regions), func(i int) { parts[i] = f.describe(&f.regions[i]) })
	out := slices.Concat(parts...)
	slices.SortStableFunc(out, func(a, b Surface) int { return cmp.Compare(b.Area, a.Area) })
	return out
}

// describe makes surfaces of the parts of a region that hang together.
func (f *field) describe(r *region) []Surface {
	sh := layOut(f.spots, r)
	var out []Surface
	for k, part := range sh.split(f.spots, r) {
		if part.sound() {
			part.plane = part.fit()
			outer, holes := sh.outline(int32(k))
			out = append(out, f.surface(&part, sh, outer, holes))
		}
	}
	return out
}

func (f *field) surface(r *region, sh *sheet, outer []r2.Vec, holes [][]r2.Vec) Surface {
	s := Surface{Plane: r.plane, Points: int(r.points)}
	onto := func(p r2.Vec) r3.Vec { return r.plane.Foot(sh.frame.Apply(r3.Vec{X: p.X, Y: p.Y})) }
	for _, p := range outer {
		s.Outline = append(s.Outline, onto(p))
	}
	for _, h := range holes {
		var ring []r3.Vec
		for _, p := range h {
			ring = append(ring, onto(p))
		}
		s.Holes = append(s.Holes, ring)
	}
	s.Area = shape(outer, holes)
	s.Centre = onto(flat.Centroid(outer))
	var squares float64
	for _, m := range r.members {
		sp := &f.spots[m]
		s.Voxels = append(s.Voxels, sp.voxel)
		s.Scans = append(s.Scans, sp.scan)
		squares += sp.SquaresTo(r.plane)
	}
	slices.Sort(s.Voxels)
	slices.Sort(s.Scans)
	s.Scans = slices.Compact(s.Scans)
	s.RMS = math.Sqrt(squares / r.points)
	s.Cov[0][0] = 1 / r.N
	_, w := r.Plane()
	s.Cov[1][1], s.Cov[2][2] = 1/(r.N*w[1]), 1/(r.N*w[1])
	return s
}

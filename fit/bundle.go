package fit

import (
	"math"

	"cellwall/mapping"
	"cellwall/mapping/cores"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// bundle is a run of voxels that follow each other in the cloud and so lie side by
// side: bounds of their points' means, and of the eyes that they were seen from.
// A sheet passes over the bundles that have nothing to do with it.
type bundle struct {
	from, to     int
	points, eyes geom.Bounds
}

// bundled is how many voxels a bundle holds: few enough to be a patch of a
// surface, many enough that its bounds cost little beside them.
const bundled = 32

// bundlesOf cuts the cloud into bundles.
func bundlesOf(voxels []mapping.Voxel) []bundle {
	out := make([]bundle, (len(voxels)+bundled-1)/bundled)
	cores.Each(len(out), func(i int) {
		b := bundle{i * bundled, min((i+1)*bundled, len(voxels)), geom.NoBounds(), geom.NoBounds()}
		for k := b.from; k < b.to; k++ {
			b.points.Extend(voxels[k].Mean)
			b.eyes.Extend(voxels[k].Eye())
		}
		out[i] = b
	})
	return out
}

// near calls do, in order, for all voxels that may have points in the region of a
// sheet, no further before it than proud, or rays that went through it there.
func (s *survey) near(sheetFromBase geom.Pose, region rect, do func(i int, v *mapping.Voxel)) {
	for k := range s.bundles {
		b := &s.bundles[k]
		points := boundsIn(sheetFromBase, b.points)
		if points.Min.Z < proud && region.meets(points) || region.meets(through(boundsIn(sheetFromBase, b.eyes), points)) {
			for i := b.from; i < b.to; i++ {
				do(i, &s.cloud.Voxels[i])
			}
		}
	}
}

// through bounds where rays from eyes to points went through the XY plane: a ray
// that goes down does so at eye / (eye - point) of its way, by heights, which
// grows with either.
func through(eyes, points geom.Bounds) geom.Bounds {
	out := geom.NoBounds()
	if points.Min.Z >= 0 || eyes.Max.Z <= 0 {
		return out
	}
	for _, z := range [2][2]float64{{max(eyes.Min.Z, 0), points.Min.Z}, {eyes.Max.Z, min(points.Max.Z, 0)}} {
		part := z[0] / (z[0] - z[1])
		out.Extend(r3.Add(eyes.Min, r3.Scale(part, r3.Sub(points.Min, eyes.Min))))
		out.Extend(r3.Add(eyes.Max, r3.Scale(part, r3.Sub(points.Max, eyes.Max))))
	}
	return out
}

// rounding is by how much bounds are widened, mm, so that none of it takes off what
// lies on their rim.
const rounding = 1e-6

// boundsIn are the bounds in another frame of a box along the base's axes.
func boundsIn(frameFromBase geom.Pose, b geom.Bounds) geom.Bounds {
	middle, r := frameFromBase.Apply(r3.Scale(0.5, r3.Add(b.Min, b.Max))), &frameFromBase.R
	size := r3.Sub(b.Max, b.Min)
	half := func(a int) float64 {
		return rounding + (math.Abs(r[a][0])*size.X+math.Abs(r[a][1])*size.Y+math.Abs(r[a][2])*size.Z)/2
	}
	h := r3.Vec{X: half(0), Y: half(1), Z: half(2)}
	return geom.Bounds{Min: r3.Sub(middle, h), Max: r3.Add(middle, h)}
}

// meets tells whether the rectangle and the bounds' X and Y have a place in common.
func (r rect) meets(b geom.Bounds) bool {
	return b.Max.X >= r.lo[0] && b.Min.X <= r.hi[0] && b.Max.Y >= r.lo[1] && b.Min.Y <= r.hi[1]
}

package fit

import (
	"math"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// ray is the mean ray to a voxel behind a sheet.
type ray struct {
	voxel   *mapping.Voxel
	point   r3.Vec  // its points' mean, in the sheet's frame
	eye     r3.Vec  // likewise
	through r3.Vec  // where it went through the sheet, Z = 0
	part    float64 // of the way from the eye to the point
	known   bool    // it ended on a surface that is none of the sheet's
}

// newRay is false where the eye was not on the viewer's side.
func newRay(v *mapping.Voxel, sheetFromBase geom.Pose) (ray, bool) {
	r := ray{voxel: v, point: sheetFromBase.Apply(v.Mean), eye: sheetFromBase.Apply(v.Eye())}
	if r.eye.Z <= 0 || r.point.Z >= 0 {
		return r, false
	}
	r.part = r.eye.Z / (r.eye.Z - r.point.Z)
	r.through = r3.Add(r.eye, r3.Scale(r.part, r3.Sub(r.point, r.eye)))
	return r, true
}

// endedBehind tells whether the ray ended least mm behind the sheet, or nearer on a
// surface of its own: a wall close behind a machine's side.
func (r *ray) endedBehind(least float64) bool {
	return -r.point.Z >= least || r.known && -r.point.Z > 2*sameOffset
}

// passing is where along an axis of a sheet the rays went through the region that
// ended too far behind it to be spikes on metal.
func (s *survey) passing(frame geom.Pose, region rect, axis int) []float64 {
	var out []float64
	sheetFromBase, normal := frame.Inverse(), frame.R.Axis(2)
	s.near(sheetFromBase, region, func(_ int, v *mapping.Voxel) {
		r, ok := newRay(v, sheetFromBase)
		if ok && -r.point.Z >= spikes && region.contains(r.through) && r.point.Z+evenHalf(&v.Moments, normal) < -s.slackAt(v) {
			out = append(out, [2]float64{r.through.X, r.through.Y}[axis])
		}
	})
	return out
}

// still is where a ray from the same eye to another point would have gone
// through, as far from this one's place, along X and Y.
func (r *ray) still(point r3.Vec) [2]float64 {
	d, along := r3.Sub(point, r.point), r3.Sub(r.point, r.eye)
	return [2]float64{
		r.part * (d.X - d.Z*along.X/along.Z),
		r.part * (d.Y - d.Z*along.Y/along.Z),
	}
}

// extent is how far the voxel's rays reach from this one on the sheet, if they
// all came from one eye.
func (r *ray) extent(frame geom.Pose, axis int) (lo, hi float64) {
	along := r3.Sub(r.point, r.eye)
	slope := [2]float64{along.X / along.Z, along.Y / along.Z}[axis]
	lo, hi = extent(r.voxel, r3.Sub(frame.R.Axis(axis), r3.Scale(slope, frame.R.Axis(2))))
	return r.part * lo, r.part * hi
}

// patch is where the ray went through, spread times as wide as from one eye.
func (r *ray) patch(frame geom.Pose, spread [2]float64) patch {
	p := patch{
		at:      [2]float64{r.through.X, r.through.Y},
		spacing: r.part * float64(r.voxel.Edge) / math.Sqrt(r.voxel.N),
		deep:    -r.point.Z,
		scan:    r.voxel.Scan,
	}
	for a := range 2 {
		lo, hi := r.extent(frame, a)
		p.lo[a], p.hi[a] = spread[a]*lo, spread[a]*hi
	}
	return p
}

// spreadOut are the patches of rays that went through near each other. A scanner
// moves while it sees a voxel, so rays spread further than from one eye; by how
// much, each voxel's neighbours in the same scan tell.
func spreadOut(rays []*ray, frame geom.Pose) []patch {
	at := make(map[cube]*ray, len(rays))
	for _, r := range rays {
		at[cubeOf(r.voxel)] = r
	}
	out := make([]patch, len(rays))
	for i, r := range rays {
		out[i] = r.patch(frame, r.spread(at))
	}
	return out
}

// cube is a place of the size of a voxel, as one scan saw it.
type cube struct {
	scan    int32
	edge    float32
	x, y, z int32
}

func cubeOf(v *mapping.Voxel) cube {
	e := float64(v.Edge)
	return cube{v.Scan, v.Edge, int32(math.Floor(v.Mean.X / e)), int32(math.Floor(v.Mean.Y / e)), int32(math.Floor(v.Mean.Z / e))}
}

// maxSpread bounds what neighbours may say of a ray's spread: two sweeps of one
// scan file over the same place look like a scanner that jumps.
const maxSpread = 3

// spread is how much further apart this ray and its neighbours went through the
// sheet than they would have from one eye, along X and Y.
func (r *ray) spread(at map[cube]*ray) [2]float64 {
	var moved, still [2]float64
	c := cubeOf(r.voxel)
	for _, d := range [6][3]int32{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}} {
		n := at[cube{c.scan, c.edge, c.x + d[0], c.y + d[1], c.z + d[2]}]
		if n == nil {
			continue
		}
		s := r.still(n.point)
		m := [2]float64{n.through.X - r.through.X, n.through.Y - r.through.Y}
		for a := range 2 {
			moved[a] += math.Abs(m[a])
			still[a] += math.Abs(s[a])
		}
	}
	out := [2]float64{1, 1}
	for a := range 2 {
		if still[a] > 0 {
			out[a] = min(max(moved[a]/still[a], 1), maxSpread)
		}
	}
	return out
}

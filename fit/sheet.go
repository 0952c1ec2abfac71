package fit

import (
	"math"
	"slices"

	"cellwall/mapping"
	"cellwall/mapping/geom"

	"gonum.org/v1/gonum/spatial/r3"
)

// sheet is a plane with what the rays say of it: closed where they ended on it,
// open where they went through, proud where they ended just before it. Its
// frame's Z points to the viewer.
type sheet struct {
	frame  geom.Pose // baseFromSheet
	closed []patch
	proud  []patch
	rims   []patch // what reaches from it to behind it: lips, and what else crosses it
	open   []patch
	rays   []ray   // of open, in the same order
	thin   bool    // it is but the edges of other sheets: where these are seen says nothing of what is between
	sway   float64 // what moves sweeps, arm and mount as a whole moves a border along the sheet by, one sigma: as much as the sheet across itself
}

// patch is where the points of one voxel lie on the sheet, or where their rays
// crossed it, in the sheet's X and Y: the middle, how far it extends toward the
// lesser and the greater, and how far apart its points are.
type patch struct {
	at      [2]float64
	lo, hi  [2]float64
	spacing float64
	vague   [2]float64 // how much less it may extend, along X and Y
	blur    float64    // what the sensor's noise moves a point along the sheet, one sigma
	facing  float64    // cosine between the ray and the sheet's normal
	deep    float64    // how far behind the sheet the ray ended, 0 on it
	scan    int32
}

// A point belongs to a sheet within this many standard deviations of its noise
// plus sheetSlack mm: what sweeps may disagree by, and the bow of sheet metal
// (common practice: a few tenths each).
const (
	sheetSigmas = 4
	sheetSlack  = 2.0
)

// slackAt is how far off a sheet the points of a voxel that belong to it may lie.
func (s *survey) slackAt(v *mapping.Voxel) float64 {
	return sheetSigmas*s.cloud.Noise.Sigma(v.Range) + sheetSlack
}

// newSheet reads the whole cloud against the XY plane of frame, in which the
// surfaces of group lie, within region. What belongs to another surface is not
// on the sheet, though it may cross it.
func (s *survey) newSheet(frame geom.Pose, region rect, group []int) *sheet {
	out := &sheet{frame: frame}
	if len(group) > 0 && group[0] < len(s.surfaces) {
		b := s.surfaces[group[0]].Budget
		out.sway = math.Sqrt(b.Sweep[0][0] + b.Arm[0][0] + b.Mount[0][0])
	}
	sheetFromBase := frame.Inverse()
	normal, offset := frame.R.Axis(2), r3.Dot(frame.R.Axis(2), frame.T)
	leaves := s.leavesOn(frame)
	s.near(sheetFromBase, region, func(i int, v *mapping.Voxel) {
		if r3.Dot(normal, v.Mean)-offset >= proud {
			return
		}
		p := sheetFromBase.Apply(v.Mean)
		slack := s.slackAt(v)
		thick := evenHalf(&v.Moments, normal)
		switch {
		case p.Z+thick < -slack:
			if r, ok := newRay(v, sheetFromBase); ok && region.contains(r.through) {
				r.known = !s.onFace(i, group)
				out.rays = append(out.rays, r)
			}
		case !region.contains(p):
		case math.Abs(p.Z) < slack && thick < 2*slack && s.onFace(i, group):
			out.closed = append(out.closed, s.patchOf(v, p, frame))
		case p.Z > 0 && !slices.Contains(leaves, s.owner[i]):
			out.proud = append(out.proud, s.patchOf(v, p, frame))
		case p.Z < slack && s.onFace(i, group):
			out.rims = append(out.rims, s.patchOf(v, p, frame))
		}
	})
	out.open = make([]patch, len(out.rays))
	for i := range out.rays {
		out.open[i] = out.rays[i].patch(frame, [2]float64{1, 1})
	}
	return out
}

// proud is how far before its front a machine's frame, handles and door leaf may
// stand, mm (common practice: a sliding door runs 30 to 80 mm before it).
const proud = 100

// leavesOn lists the upright faces that stand out from an upright sheet further
// than what sits on it: a door leaf left half open, or what is no part of it at all. They
// close nothing of it, though they come near.
func (s *survey) leavesOn(frame geom.Pose) []int32 {
	z := frame.R.Axis(2)
	if math.Abs(r3.Dot(z, s.up)) > math.Sin(maxLean) {
		return nil
	}
	var out []int32
	for i := range s.surfaces {
		f := &s.surfaces[i]
		lo, hi := span(f.Outline, z)
		at := r3.Dot(frame.T, z)
		if s.upright(f) && hi-at > 2*proud && lo-at < proud && lo-at > -proud {
			out = append(out, int32(i))
		}
	}
	return out
}

// patchOf is where the points of a voxel lie on the sheet.
func (s *survey) patchOf(v *mapping.Voxel, p r3.Vec, frame geom.Pose) patch {
	out := patch{
		at: [2]float64{p.X, p.Y}, spacing: float64(v.Edge) / math.Sqrt(v.N), scan: v.Scan,
		facing: r3.Dot(v.Toward, frame.R.Axis(2)),
	}
	out.blur = s.cloud.Noise.Sigma(v.Range) * math.Sqrt(max(1-out.facing*out.facing, 0))
	for a := range 2 {
		out.lo[a], out.hi[a] = extent(v, frame.R.Axis(a))
		out.vague[a] = cornered(v, frame, a)
	}
	return out
}

// cornered is by how much the bounds of a voxel's points may overstate how far
// these reach along axis a of the frame. Where they are spread across the sheet
// too, over a face and the rim that it ends in, say, and the frame is turned
// against the bounds, these have a corner where no point is.
func cornered(v *mapping.Voxel, frame geom.Pose, a int) float64 {
	d, n := frame.R.Axis(a), frame.R.Axis(2)
	return evenHalf(&v.Moments, n) * (math.Abs(d.X*n.X) + math.Abs(d.Y*n.Y) + math.Abs(d.Z*n.Z))
}

// extent is how far the points of a voxel reach from their mean against and
// along d: as far as even points with the same scatter, sqrt(3) sigma, but not
// beyond their bounds.
func extent(v *mapping.Voxel, d r3.Vec) (lo, hi float64) {
	even := evenHalf(&v.Moments, d)
	for _, c := range [3][3]float64{
		{d.X, v.Bounds.Min.X - v.Mean.X, v.Bounds.Max.X - v.Mean.X},
		{d.Y, v.Bounds.Min.Y - v.Mean.Y, v.Bounds.Max.Y - v.Mean.Y},
		{d.Z, v.Bounds.Min.Z - v.Mean.Z, v.Bounds.Max.Z - v.Mean.Z},
	} {
		lo += max(-c[0]*c[1], -c[0]*c[2])
		hi += max(c[0]*c[1], c[0]*c[2])
	}
	return min(lo, even), min(hi, even)
}

// evenHalf is half the extent along d of points that are spread evenly with the
// scatter of m.
func evenHalf(m *geom.Moments, d r3.Vec) float64 {
	return math.Sqrt(3 * max(m.Scatter.Form(d), 0) / m.N)
}
